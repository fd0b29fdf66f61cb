import { heightAssumed } from "../../job/assumed.ts";
import type { Bundles, EngineUse } from "../../bundles/types.ts";
import { ENGINE_PLACE_WORDS, ratesSourceWords } from "../../job/codeWords.ts";
import { areaWords } from "../../job/units.ts";
import { paperChoices, type PaperChoice } from "../paperChoice.ts";
import { paperByName, printerOf, QUICKEST } from "../papers.ts";
import { tilesWithHoles } from "../context.ts";
import { layTile, printingOf, sideFile } from "../laid.ts";
import { SIDE_WORDS } from "../../ceiling/flip.ts";
import { BLANK, TICK, type PackDocument } from "./document.ts";
import { drawRoutes, voidWords } from "./routeMap.ts";
import { lengthWords, lotWords, metreWords, percent, placeWords, runs } from "./words.ts";

/** Which printed sheets belong to which tile. */
export function sheetsIndexSection(doc: PackDocument): void {
  const { plan } = doc.context;
  const { sheets } = plan.job;
  const printing = printingOf(plan.job);
  const { paper } = printing;
  const parts = tilesWithHoles(plan);
  doc.section("Index of template sheets");
  doc.write(
    `Templates are printed on ${paper.name} at actual size. Measure both bars of the first sheet before the rest: 150 mm, within 0.3 mm.`,
  );
  const numbers = sheets.sides.map((side) => {
    let sheet = 0;
    return parts.map((part) => {
      const { pages, listed } = layTile(part, side, printing);
      const count = pages.length;
      sheet += count;
      const own = runs(Array.from({ length: count }, (_, k) => sheet - count + 1 + k));
      return [own, listed.length > 0 ? `list: ${listed.length}` : ""].filter(Boolean).join("; ");
    });
  });
  doc.table(
    [
      { title: "tile", share: 1.2, bold: true },
      { title: "holes", share: 1, align: "right" },
      ...sheets.sides.map((side) => ({
        title: `${sideFile(side, printing).replace("sheets/", "")} (${SIDE_WORDS[side].flag}), sheets`,
        share: 3,
      })),
      { title: "printed", share: 1.2, align: "centre" as const },
      { title: "checked", share: 1.2, align: "centre" as const },
    ],
    parts.map(({ tile, holes }, i) => [
      tile.name,
      String(holes.length),
      ...numbers.map((own) => own[i]!),
      TICK,
      TICK,
    ]),
  );
}

/** What the templates take on every paper, so that the next job is printed on the right one. */
export function papersSection(doc: PackDocument): void {
  const { context } = doc;
  const chosen = paperByName(context.plan.job.sheets.paper).name;
  const { units, takeoff } = context.plan.job;
  const { rates } = takeoff;
  const choices = paperChoices(context.plan);
  doc.sectionBelow("Which paper", 140);
  doc.write(
    `One side of all templates. Hours: ${rates.templateMinPerTile} min a tile to check it square and ${rates.templateMinPerSheet} min a sheet to place it, ${rates.listedMinPerHole} min a hole from the coordinate list (${ratesSourceWords(rates.source)}; measure your own).`,
  );
  doc.write(adviceWords(choices, chosen), 3.2, { bold: true });
  doc.table(
    [
      { title: "paper", share: 2, bold: true },
      { title: "sheets", share: 1, align: "right" },
      { title: "holes listed", share: 1.2, align: "right" },
      { title: "area", share: 1.4, align: "right" },
      { title: "hours to place", share: 1.4, align: "right" },
      { title: "", share: 5 },
    ],
    choices.map(({ paper, sheets, listed, areaM2, hours, best }) => [
      paper.name,
      String(sheets),
      String(listed),
      areaWords(areaM2, units),
      hours.toFixed(1),
      [paper.name === chosen ? "this job's" : "", best ? QUICKEST[printerOf(paper)] : ""]
        .filter(Boolean)
        .join("; "),
    ]),
  );
}

/** What the table comes to, in a sentence. */
function adviceWords(choices: readonly PaperChoice[], chosen: string): string {
  const now = choices.find(({ paper }) => paper.name === chosen)!;
  const better = choices.filter(({ best, hours }) => best && hours < now.hours - 0.05);
  if (better.length === 0) return `${chosen} is as quick as any paper for this job.`;
  const words = better.map(
    ({ paper, sheets, hours }) => `${paper.name}: ${sheets} sheets, ${(now.hours - hours).toFixed(1)} h less`,
  );
  return `On ${chosen} placing takes ${now.hours.toFixed(1)} h. Worth a look, if you have the printer: ${words.join("; ")}.`;
}

/** Where the runs go. */
export function routesSection(doc: PackDocument, bundles: Bundles): void {
  doc.section("Route plan", true);
  doc.write(
    `Black squares: engines. Circles: where a tail enters its tile, with the letter of its engine. Lines: runs above the grid, right-angled; each engine's own dashes, clear of plain tiles, hatches and diffusers.${voidWords(doc.context)}`,
    2.6,
  );
  doc.addAll(drawRoutes(doc.context, bundles, doc.room()));
}

/** Each engine with its tails: what goes into which port, how long, along which way. */
export function schedulesSection(doc: PackDocument, bundles: Bundles): void {
  const { job } = doc.context.plan;
  const { bundles: section } = job;
  doc.section("Bundle schedule");
  doc.write(
    `Runs hang on supports of their own, ${lengthWords(doc.context, section.riseM * 1000)} above the tiles, one at most every ${metreWords(doc.context, section.supportEveryM)}; never on the grid, its wires or a tile. Each tail has ${metreWords(doc.context, section.tileSlackM)} of slack, so that its tile can come down.`,
  );
  if (bundles.unlit.length > 0)
    doc.write(`${bundles.unlit.length} holes have no strand yet; see "Open questions".`, 2.9, { bold: true });
  for (const engine of bundles.engines) engineBlock(doc, bundles, engine);
}

function engineBlock(doc: PackDocument, bundles: Bundles, engine: EngineUse): void {
  const { context } = doc;
  const entry = context.plan.job.bundles.engines.find(({ letter }) => letter === engine.letter)!;
  doc.heading(`Engine ${engine.letter}${engine.name ? `, ${engine.name}` : ""}`);
  const height =
    entry.heightMm === null
      ? "at the height of the runs"
      : [`port ${lengthWords(context, entry.heightMm)} above the floor`, heightAssumed(context.plan.job)]
          .filter(Boolean)
          .join("; ");
  doc.write(
    `In ${ENGINE_PLACE_WORDS[entry.place]}, ${placeWords(context, engine.atMm)}, ${height}. ${engine.strands} of at most ${engine.capacity} strands; ` +
      `port of ${entry.portDiameterMm} mm filled to ${percent(engine.portFill)} (hand packing takes ${percent(engine.portLimit)}); ` +
      `runs ${metreWords(context, engine.runM)}, at least ${engine.supports} supports; longest strand needs ${metreWords(context, engine.longestM)} of ${metreWords(context, entry.reachM)} reach.`,
    2.7,
  );
  const tails = bundles.tails.filter((tail) => tail.engine === engine.letter);
  doc.table(
    [
      { title: "tail", share: 1.7, bold: true },
      { title: "strands", share: 1.2, align: "right" },
      { title: "of diameter and length", share: 7 },
      { title: "needs", share: 1.5, align: "right" },
      { title: "run", share: 1.4, align: "right" },
      { title: "bend radius", share: 1.8, align: "right" },
      { title: "in port", share: 1.1, align: "centre" },
    ],
    tails.map((tail) => [
      tail.name,
      String(tail.lots.reduce((sum, { count }) => sum + count, 0)),
      lotWords(context, tail.lots),
      metreWords(context, tail.needM),
      metreWords(context, tail.routeM),
      lengthWords(context, tail.bendRadiusMm),
      TICK,
    ]),
  );
  const spare = engine.lots.filter((lot) => lot.spare !== null && lot.spare > 0);
  doc.write(`All in all ${engine.strands}: ${lotWords(context, engine.lots)}.`, 2.5);
  if (spare.length > 0)
    doc.write(
      `Left in the kit: ${spare.map(({ diameterMm, lengthM, spare: left }) => `${left} of ${diameterMm} mm, ${metreWords(context, lengthM)}`).join("; ")}.`,
      2.5,
    );
}

/** Common ends: how the strands are mixed before they go into the port. */
export function portsSection(doc: PackDocument, bundles: Bundles): void {
  const { twinkle } = doc.context.plan.job.bundles;
  doc.sectionBelow("Common ends", 40 + 6 * doc.context.plan.job.bundles.engines.length);
  doc.write(
    "The middle of a port is brighter than its edge: mix the strands of all tails before the ferrule, so that no tile and no constellation sits together. strands.csv names the place of every strand.",
  );
  if (twinkle.kind === "wheel")
    doc.write(
      "Wheel: each strand has its angle round the port, spread by chance over all tiles. Lay strands in the order of strands.csv, sorted by wheel_deg.",
    );
  doc.table(
    [
      { title: "engine", share: 1, bold: true },
      { title: twinkle.kind === "channels" ? "channel" : "port", share: 1.2 },
      { title: "strands", share: 1, align: "right" },
      { title: "by diameter", share: 4 },
      { title: "mixed", share: 1, align: "centre" },
      { title: "cut square", share: 1.2, align: "centre" },
      { title: "clean, seated", share: 1.4, align: "centre" },
      { title: "counted", share: 1.4 },
    ],
    bundles.engines.flatMap(({ letter }) => {
      const own = bundles.strands.filter((strand) => strand.engine === letter);
      const channels = [...new Set(own.map(({ channel }) => channel))].sort((a, b) => (a ?? 0) - (b ?? 0));
      return channels.map((channel) => {
        const part = own.filter((strand) => strand.channel === channel);
        const diameters = [...new Set(part.map(({ diameterMm }) => diameterMm))].sort((a, b) => a - b);
        const counts = diameters.map((d) => `${part.filter((s) => s.diameterMm === d).length} of ${d} mm`);
        return [
          letter,
          channel === null ? "whole" : `${channel}${channel === 1 ? ", steady" : ""}`,
          String(part.length),
          counts.join(", "),
          TICK,
          TICK,
          TICK,
          BLANK,
        ];
      });
    }),
    { leastRowMm: 6.4 },
  );
}
