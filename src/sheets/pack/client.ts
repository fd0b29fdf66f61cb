import { ENGINE_PLACE_WORDS } from "../../job/codeWords.ts";
import { SIDE_WORDS } from "../../ceiling/flip.ts";
import { passOf } from "../../choose/words.ts";
import { dateAndClock, typedDate } from "../../job/writtenTime.ts";
import { kindWords } from "../../job/noGoKinds.ts";
import { about } from "../../job/codes.ts";
import { wordedIn } from "../../job/faults.ts";
import type { Bundles } from "../../bundles/types.ts";
import type { Difference } from "../../asBuilt/built.ts";
import type { Visit } from "../../asBuilt/visits.ts";
import type { PackOptions } from "./files.ts";
import { USED_SPARE } from "../../takeoff/order.ts";
import type { Takeoff } from "../../takeoff/types.ts";
import type { Planned } from "../../plan.ts";
import type { Figure } from "../../sky/types.ts";
import { FINE_MM, tilesWithHoles, type SheetContext } from "../context.ts";
import { drawSkyChart } from "../skyChart.ts";
import { GREY } from "../../drawing/drawing.ts";
import { coordinates } from "../strip.ts";
import { brightMoves, fillerWords, handWords, skyWords } from "../told.ts";
import { BLANK, PackDocument, type PackPage } from "./document.ts";
import { drawMap } from "./map.ts";
import { drawEngines } from "./routeMap.ts";
import { electricianSection } from "./electrician.ts";
import { tilePagesSection } from "./tilePages.ts";
import { leftHangingWords, metreWords, sizeWords, tieDownWords } from "./words.ts";

const SERVICE_ROWS = 19;
/** There is always room for the next visits. */
const LEAST_BLANK = 6;

/** For the client and whoever services the ceiling later: map, before you lift a tile, care, record. */
export function clientPack(
  context: SheetContext,
  bundles: Bundles,
  takeoff: Takeoff,
  {
    figures = [],
    visits = [],
    differences = null,
  }: Pick<PackOptions, "figures" | "visits" | "differences"> = {},
): PackPage[] {
  const doc = new PackDocument(context, "Client pack");
  coverSection(doc, figures);
  aboutSection(doc, bundles);
  mapSection(doc, bundles);
  tilePagesSection(doc, bundles, differences ?? []);
  if (differences) builtSection(doc, differences);
  liftSection(doc, bundles);
  strandSection(doc);
  careSection(doc, takeoff);
  electricianSection(doc, bundles);
  recordSection(doc, visits);
  return doc.finish();
}

/** The sky on this ceiling, as it is seen from below. */
function coverSection(doc: PackDocument, figures: readonly Figure[]): void {
  const { night, frame } = doc.context.plan;
  const { localIso, zone } = frame.instant;
  doc.section("Your sky");
  doc.logo();
  doc.write(night.title || "The night sky", 5, { bold: true });
  const { name, latDeg, lonDeg } = frame.place;
  doc.write([name, coordinates(latDeg, lonDeg)].filter(Boolean).join(", "), 3.6);
  doc.write(`${dateAndClock(localIso, zone, passOf(night.moment))}`, 3.6);
  const { box } = doc.context.plan.ceiling;
  const shape = (box.maxY - box.minY) / (box.maxX - box.minX);
  doc.addAll(
    drawSkyChart(doc.context, figures, doc.room(Math.min(PICTURE_MM, doc.width * shape + 4)), "#44506a"),
  );
  doc.write(`${SIDE_WORDS.face.whole}. ${SIDE_WORDS.face.check}`, FINE_MM);
}

/** The picture is as large as the page lets it be. */
const PICTURE_MM = 195;

function aboutSection(doc: PackDocument, bundles: Bundles): void {
  const { plan } = doc.context;
  const { pattern } = plan;
  const { fidelity } = pattern;
  doc.section("Your ceiling");
  doc.write(
    `${pattern.holes.length} points of light: ${skyWords(plan)} where they stood${fillerWords(plan)}. ` +
      `${fidelity.moved} were moved a little to clear the grid and what is built into the ceiling; ${fidelity.lost} had to be left out. ${brightMoves(plan)}`,
  );
  const byHand = handWords(plan);
  if (byHand.length > 0) {
    doc.heading("Decided by hand");
    for (const words of byHand) doc.write(`\u2022 ${words}`);
  }
  doc.heading("Light engines");
  doc.table(
    [
      { title: "engine", share: 1, bold: true },
      { title: "where", share: 4 },
      { title: "strands", share: 1, align: "right" },
      { title: "switched at", share: 2.5 },
      { title: "dimmer set to", share: 2 },
    ],
    bundles.engines.map(({ letter, name, strands }) => {
      const entry = plan.job.bundles.engines.find((engine) => engine.letter === letter)!;
      return [
        letter,
        [name, ENGINE_PLACE_WORDS[entry.place]].filter(Boolean).join(", "),
        String(strands),
        BLANK,
        BLANK,
      ];
    }),
    { leastRowMm: 8 },
  );
  doc.heading("People");
  doc.table(
    [
      { title: "who", share: 3 },
      { title: "name", share: 4 },
      { title: "telephone", share: 3 },
    ],
    ["made and fitted by", "electrician", "sprinkler and alarm systems", "air and ventilation"].map((who) => [
      who,
      (who === "made and fitted by" && [plan.job.firm, plan.job.firmAddress].filter(Boolean).join(", ")) ||
        BLANK,
      BLANK,
    ]),
    { leastRowMm: 8 },
  );
}

function mapSection(doc: PackDocument, bundles: Bundles): void {
  const { context } = doc;
  const letters = new Map<string, string[]>();
  for (const { tile, engine } of bundles.tails) letters.set(tile, [...(letters.get(tile) ?? []), engine]);
  doc.section("Map of tiles and engines, looking up", true);
  const { noGo } = context.plan.ceiling;
  const things = noGo.map(({ source, index }) => `${index + 1} ${source.name || kindWords(source.kind)}`);
  const dark = tilesWithHoles(context.plan).some(({ tile }) => !letters.has(tile.name));
  doc.write(
    `In each tile the letter of its engine; black squares are the engines; hatched tiles take no strands.${dark ? " Grey ones wait for an engine." : ""}${things.length > 0 ? ` Numbers: ${things.join("; ")}.` : ""}`,
    2.6,
  );
  const map = drawMap(context, "face", doc.room(), {
    zones: true,
    tileGrey: ({ name }) => (letters.has(name) ? GREY.white : GREY.wash),
    tileWords: ({ name }) => (letters.get(name) ?? []).join("+"),
  });
  doc.addAll(map.items);
  doc.addAll(drawEngines(map, bundles));
  doc.section("Tiles and their tails");
  const columns = [
    { title: "", share: 1, bold: true },
    { title: "tail", share: 2 },
    { title: "strands", share: 1, align: "right" as const },
    { title: "run to the engine", share: 1.6, align: "right" as const },
    { title: "slack", share: 1, align: "right" as const },
  ];
  const row = ({ name, lots, routeM }: Bundles["tails"][number]) => [
    name,
    String(lots.reduce((sum, { count }) => sum + count, 0)),
    metreWords(context, routeM),
    metreWords(context, context.plan.job.bundles.tileSlackM),
  ];
  doc.heading("By tile");
  doc.table(columns.with(0, { ...columns[0]!, title: "tile" }), tilesWithHoles(context.plan).flatMap(({ tile }) =>
      bundles.tails.filter((tail) => tail.tile === tile.name).map((tail) => [tail.tile, ...row(tail)]),
    )); // prettier-ignore
  // of one engine it is the same table
  for (const { letter, name } of bundles.engines.length > 1 ? bundles.engines : []) {
    const own = bundles.tails.filter(({ engine }) => engine === letter);
    if (own.length === 0) continue;
    doc.heading(`By engine: ${letter}${name ? `, ${name}` : ""}`);
    doc.table(columns.with(0, { ...columns[0]!, title: "tile" }), own.map((tail) => [tail.tile, ...row(tail)])); // prettier-ignore
  }
}

/** How a dead strand is replaced, step by step, with what lies behind the tile. */
function strandSection(doc: PackDocument): void {
  const american = doc.context.plan.job.units === "ft-in";
  doc.sectionBelow("Replace a dead strand", 110);
  doc.write(
    'Find the tile on the map and the number in "Tile by tile": it tells star, strand, cut length and engine, and whether the spare behind the tile reaches.',
    3.2,
  );
  for (const step of [
    'Switch the engine off and let it cool. Read "Before you lift a tile", and lift the tile as it says.',
    "The map shows the tile's face, looking up. On its back left and right have changed places: turn the tile until the arrow on its back points to the wall named above the map, and look for the number right for left.",
    `On the tile's back the number's strand sits in a dot of glue at the hole and in another ${tieDownWords(doc.context)} on. Warm or cut the two dots free; pull the old strand out to the back, never through the face.`,
    `The spare is coiled behind the tile, with its label. If it does not reach or has another diameter, cut a new strand to the length in the list: by diameter, as "Kept for service" names it.`,
    `Thread the new strand from the back through the same hole until ${leftHangingWords(doc.context)} hang out of the face. A dot of low-temperature glue (about ${american ? "250 \u00B0F" : "120 \u00B0C"}) at the hole and another ${tieDownWords(doc.context)} on.`,
    "Lay it along the tail to the engine, with the tail's slack, no bend tighter than twenty times its diameter. Undo the port as the engine's maker says, add the strand to its channel, cut it flush and square with the rest, put the port back.",
    "Put the tile back, switch on, dim, look up from below. Then snip the end as long as its neighbours'.",
    "Write tile, number and date into the service record; order a new spare.",
  ])
    doc.tick(step, 3.2);
}

function liftSection(doc: PackDocument, bundles: Bundles): void {
  const { job } = doc.context.plan;
  const stuck = about(wordedIn(doc.context.plan.job.units, bundles.warnings), "stuck tiles").map(
    ({ message }) => message,
  );
  const plain = doc.context.plan.ceiling.tiles.filter(({ use }) => use === "plain").map(({ name }) => name);
  doc.section("Before you lift a tile");
  doc.write("Keep this page by the hatch, with the map.", 3.2, { bold: true });
  for (const step of [
    "Find the tile on the map. Is there one without strands that will do? " +
      (plain.length > 0
        ? `These have none: ${plain.join(", ")}.`
        : "On this ceiling every tile was covered."),
    "Switch the engines off. Nobody looks into a lit port or a bundle end.",
    "Two people for a long tile: one holds the tile, one guides the tail.",
    `Push the tile straight up, tilt it, bring it down slowly. Its tail has ${metreWords(doc.context, job.bundles.tileSlackM)} of slack and no more: stop where it pulls.`,
    "Never hang a tile on its tail, never bend a strand tighter than a coffee cup, never pull a strand from the back: it comes out of the face.",
    "Need the tile out altogether? Undo the tail's tie at the support, not the strands; both its labels carry the tile's name.",
    "Put it back the way it came: the arrow on its back to the named wall, its name the same way round as its neighbours'.",
    "Sprinklers, detectors, diffusers: only their own people touch them. A tile left open under a sprinkler is told to whoever is responsible.",
    ...surveyFacts(job),
    "Write the visit into the service record.",
  ])
    doc.tick(step, 3.2);
  for (const message of stuck) doc.write(message, 3, { bold: true });
}

/** Air, fire rating and age, for whoever lifts a tile years from now. */
function surveyFacts({ ceiling }: Planned["job"]): string[] {
  const { returnAirVoid, fireRated, builtYear } = ceiling.survey;
  const words = { yes: "yes", no: "no", unknown: "was not known" };
  return [
    `The void above carries return air: ${words[returnAirVoid]}. Where it does, nothing that is not listed for it goes in.`,
    `Fire-rated ceiling: ${words[fireRated]}. Where it is, ask the designer responsible before a tile is opened.`,
    `Built or last refitted: ${builtYear ?? "was not known"}. Old tiles and adhesive may hold asbestos: ask for the survey before one is lifted, cut or scraped.`,
  ];
}

function careSection(doc: PackDocument, takeoff: Takeoff): void {
  const { fabric } = doc.context.plan.job.takeoff;
  doc.section("Care");
  for (const rule of [
    "Dust once a year with a soft dry brush, along the pile, from the edge of a tile to its middle. No water, no cleaner, no vacuum nozzle on the fabric.",
    "A strand that stands a millimetre or two proud is meant to: it is what the rear seats see. Do not push or cut it.",
    "Sizes of stars show best dimmed. The engines' vents stay free; their filters and lamps are serviced as their makers say.",
    `A single dark star is a strand that slipped or broke: note tile and number in the record; "Replace a dead strand" tells how.`,
    "New lamps, loudspeakers, sprinklers or detectors: ask for a changed map first, as each of them moves stars.",
  ])
    doc.write(`\u2022 ${rule}`, 3.2);
  doc.heading("Kept for service");
  const spare = takeoff.order.filter(({ item }) => item === "spare strand");
  const again = takeoff.order.filter(({ item }) => item === USED_SPARE);
  doc.table(
    [
      { title: "what", share: 5 },
      { title: "how many", share: 1.2, align: "right" },
      { title: "where it lies", share: 3 },
    ],
    [
      [`upholstered tiles${fabric.name ? `, ${fabric.name}` : ""}`, String(fabric.spareBlanks), BLANK],
      ...spare.map(({ detail, quantity }) => [`strand, ${detail}`, String(quantity), BLANK]),
      ...again.map(({ detail, quantity }) => [`to order again: strand, ${detail}`, String(quantity), BLANK]),
      ["fabric of the same roll", BLANK, BLANK],
    ],
    { leastRowMm: 7 },
  );
  doc.write(
    `Tiles are ${sizeWords(doc.context, doc.context.plan.ceiling.grid.tileMm[0])} × ${sizeWords(doc.context, doc.context.plan.ceiling.grid.tileMm[1])}.`,
    2.6,
  );
}

/** What the next technician must know: where the ceiling is not as it was planned. */
function builtSection(doc: PackDocument, differences: readonly Difference[]): void {
  doc.section("As built");
  doc.write(
    differences.length === 0
      ? "Nothing in the record differs from the plan. Every page here shows the ceiling as planned."
      : "Map and tile pages show the ceiling as the record tells it. These holes differ from the plan, or wait for an answer:",
  );
  if (differences.length === 0) return;
  doc.table(
    [
      { title: "tile", share: 1, bold: true },
      { title: "number", share: 1, align: "right" },
      { title: "what", share: 8 },
    ],
    differences.map(({ tile, number, words }) => [tile, String(number), words]),
  );
  const used = differences.flatMap(({ spare }) => spare ?? []);
  const diameters = [...new Set(used.map(({ diameterMm }) => diameterMm))].sort((a, b) => a - b);
  const listed = diameters.map((diameterMm) => {
    const own = used.filter((spare) => spare.diameterMm === diameterMm);
    return `${own.reduce((sum, { strands }) => sum + strands, 0)} of ${diameterMm} mm`;
  });
  if (listed.length > 0) doc.write(`Spare strands used so far: ${listed.join(", ")}. Order as many again.`);
}

function recordSection(doc: PackDocument, visits: readonly Visit[]): void {
  const { zone } = doc.context.plan.frame.instant;
  doc.section("Service record", true);
  doc.table(
    [
      { title: "date", share: 1.4 },
      { title: "who", share: 2 },
      { title: "tiles lifted", share: 2 },
      { title: "dead strands: tile, place", share: 3 },
      { title: "what was done or changed", share: 4 },
      { title: "engine hours", share: 1.4 },
      { title: "revision of the map", share: 1.6 },
      { title: "initials", share: 1.2 },
    ],
    [
      ...visits.map(({ on, who, lifted, strands, done, revision }) =>
        [typedDate(on, zone), who, lifted, strands, done, "", revision, ""].map((words) => words || BLANK),
      ),
      ...Array.from({ length: Math.max(LEAST_BLANK, SERVICE_ROWS - visits.length) }, () =>
        Array.from({ length: 8 }, () => BLANK),
      ),
    ],
    { leastRowMm: 7 },
  );
}
