import { zoneOf } from "../../job/region.ts";
import { borderWalls } from "../../ceiling/fromWalls.ts";
import { bearingWords } from "../../ceiling/bearingWords.ts";
import { ceilingHeightMm } from "../../job/assumed.ts";
import { kindWords } from "../../job/noGoKinds.ts";
import { cautionsFor, WHO_DECIDES } from "../../job/cautions.ts";
import { answerWords, stateOf } from "../../ceiling/holds.ts";
import { boxesTouch, boxOf, intersect, isEmpty } from "../../geometry/area.ts";
import { GREY } from "../../drawing/drawing.ts";
import { BLANK, type PackDocument } from "./document.ts";
import { drawMap } from "./map.ts";
import { lengthWords, placeWords, sizeWords } from "./words.ts";

const BORDERS = ["left", "right", "bottom", "top"] as const;

/** The ceiling as surveyed, with its numbers, and the questions that the survey left open. */
export function surveySection(doc: PackDocument): void {
  const { context } = doc;
  const { job, ceiling } = context.plan;
  const { grid } = ceiling;
  doc.section("Survey plan", true);
  doc.write(
    "Numbers: no-go register, which has each zone's distances from two walls. Hatched tiles take no strands. Below and left: how the grid lies in the room.",
    2.6,
  );
  doc.addAll(drawMap(context, "back", doc.room(), { zones: true, dimensions: true }).items);
  doc.section("Survey in numbers");
  const mm = (length: number) => lengthWords(context, length);
  const walls = borderWalls(ceiling);
  const { survey, voidMm, heightMm } = job.ceiling;
  const known = (measured: unknown, ...used: number[]): string =>
    `${measured === undefined ? "NOT MEASURED; assumed " : ""}${used.map((one) => (used.length > 1 ? sizeWords(context, one) : mm(one))).join(" × ")}`;
  const { grid: measured } = job.ceiling;
  // one side alone may be measured
  const tileWords = measured.tileMm?.includes(null)
    ? grid.tileMm.map((one, axis) => known(measured.tileMm?.[axis] ?? undefined, one)).join(" across; up: ")
    : known(measured.tileMm, ...grid.tileMm);
  const yes = { unknown: "NOT KNOWN: find out first", yes: "yes", no: "no" };
  doc.table(
    [
      { title: "what", share: 3 },
      { title: "surveyed", share: 4, bold: true },
      { title: "checked on site", share: 2 },
    ],
    [
      ["module, centre to centre of tees", grid.moduleMm.map((one) => sizeWords(context, one)).join(" × ")],
      ["size of a tile", tileWords],
      ["thickness of a tile", known(measured.thicknessMm, grid.thicknessMm)],
      ["face of the tees", known(measured.teeFaceMm, grid.teeFaceMm)],
      ["wall angle", known(measured.wallAngleMm, grid.wallAngleMm)],
      ["holes keep from the tile's edge", mm(grid.edgeKeepOutMm)],
      [
        "border tiles, tee to wall",
        BORDERS.map((edge) => `${mm(grid.bordersMm[edge])} at ${context.clean(walls[edge])}`).join(", "),
      ],
      ["ceiling above floor", known(heightMm, ceilingHeightMm(job.ceiling))],
      ["free height above the grid", voidMm === null ? "NOT MEASURED" : mm(voidMm)],
      ["true bearing of the plan's top edge", bearingWords(job.ceiling)],
      [
        "tiles; with stars",
        `${ceiling.tiles.length}; ${ceiling.tiles.filter((t) => t.use === "stars").length}`,
      ],
      ["return air in the void?", yes[survey.returnAirVoid]],
      ["fire-rated ceiling?", yes[survey.fireRated]],
      ["sprinklers?", yes[survey.sprinklered]],
      ["built", survey.builtYear === null ? "NOT KNOWN" : String(survey.builtYear)],
    ].map((row) => [...row, BLANK]),
    { leastRowMm: 6.4 },
  );
  const apart = ceiling.tiles.filter(({ use }) => use !== "stars");
  if (apart.length > 0) {
    doc.heading("Tiles without stars");
    doc.table(
      [
        { title: "tile", share: 1, bold: true },
        { title: "use", share: 2 },
        { title: "why", share: 6 },
      ],
      apart.map(({ name, use, why }) => [
        name,
        use === "plain" ? "left as it is" : "covered, no strands",
        why || "not said",
      ]),
    );
  }
}

/** Every no-go zone with its owner, who agreed, and room for initials. */
export function registerSection(doc: PackDocument): void {
  const { context } = doc;
  const { ceiling } = context.plan;
  doc.sectionBelow("No-go register", 60 + 8 * ceiling.noGo.length);
  doc.write(
    "Numbers as on the survey plan; the middle of each zone by its distance, square, from the walls named. The clearances are shop rules, no code values: the owner of each fitting agrees, or its tile stays untouched.",
  );
  if (ceiling.noGo.length === 0) {
    doc.write("The survey names no no-go zones. Look again before the first tile comes down.", 2.9, {
      bold: true,
    });
    return;
  }
  doc.table(
    [
      { title: "no.", share: 1, bold: true },
      { title: "what", share: 4.6 },
      { title: "middle at", share: 4 },
      { title: "kept clear", share: 2.4 },
      { title: "tiles", share: 2.6, bold: true },
      { title: "owner", share: 3.2 },
      { title: "agreed", share: 7 },
      { title: "initials, date", share: 3 },
    ],
    ceiling.noGo.map(({ source, index, shape, grown }) => {
      const { minX, minY, maxX, maxY } = boxOf(shape);
      const tiles = ceiling.tiles.filter(
        ({ box, outline }) => boxesTouch(box, boxOf(grown)) && !isEmpty(intersect(outline, grown)),
      );
      return [
        String(index + 1),
        [kindWords(source.kind), source.name].filter(Boolean).join(": "),
        placeWords(context, [(minX + maxX) / 2000, (minY + maxY) / 2000]),
        sizeWords(context, source.clearanceMm),
        tiles.map(({ name }) => name).join(", "),
        source.owner || "NOT KNOWN",
        `${stateOf(source) === "agreed" ? "" : "NO: "}${answerWords(source, zoneOf(context.plan.job))}`,
        BLANK,
      ];
    }),
    { leastRowMm: 8 },
  );
}

/** The cautions that fit this job, with their sources. */
export function cautionsSection(doc: PackDocument): void {
  doc.section("Cautions for this job");
  doc.write(WHO_DECIDES, 2.8, { grey: GREY.dark });
  for (const { title, text, source } of cautionsFor(doc.context.plan.job)) {
    doc.together(28);
    doc.heading(title);
    doc.write(text, 2.8);
    doc.write(`Source: ${source}`, 2.5, { grey: GREY.dark });
  }
}
