import { drillMm } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import { wallAbove } from "./bearings.ts";
import { diameterWords, type SheetContext } from "./context.ts";
import type { LaidTile } from "./laid.ts";
import { PackDocument, TICK, type PackPage } from "./pack/document.ts";
import { toMm } from "../geometry/um.ts";

/** Lines of a coordinate list: holes that no sheet carries, each by its distances from the two edges at the datum. */
export function coordinatePages(context: SheetContext, laid: readonly LaidTile[]): PackPage[] {
  const doc = new PackDocument(context, "Coordinate list");
  doc.section("Coordinate list");
  for (const words of METHOD) doc.write(words);
  for (const tile of laid) if (tile.listed.length > 0) tileBlock(doc, tile);
  return doc.finish();
}

const METHOD = [
  "Holes that are on no sheet. Lay the tile with its back up and its arrow to the wall named, so that its datum is the lower left corner. x counts from the tile's left edge, y from its lower edge, both from the tile's own edge, never from a tee. (On the face, looked at from below, x counts from the right edge.)",
  "Set x with a square along the lower edge and y along the left one, prick where they meet, and measure both again before the awl goes through.",
];

function tileBlock(doc: PackDocument, { part, pages, listed }: LaidTile): void {
  const { context } = doc;
  const { tile, holes } = part;
  doc.together(30 + listed.length * ROW_MM);
  const rest = pages.length === 0 ? "all of them" : `of ${holes.length}; the others are on its sheets`;
  doc.heading(`Tile ${tile.name}: ${listed.length} ${listed.length === 1 ? "hole" : "holes"}, ${rest}`);
  for (const { name, why } of context.holds.get(tile.name) ?? [])
    doc.write(`HOLD, do not punch. ${name}: ${why}.`, 3.2, { bold: true });
  const size = [tile.box.maxX - tile.box.minX, tile.box.maxY - tile.box.minY].map((um) =>
    ruled(context, toMm(um)),
  );
  doc.write(
    `${size.join(" \u00D7 ")}${tile.cut ? ", cut" : ""}; arrow to ${wallAbove(context.plan, tile)}.`,
    2.5,
  );
  doc.table(
    COLUMNS,
    listed.map((hole) => row(context, hole)),
    { sizeMm: 3, leastRowMm: ROW_MM },
  );
}

const ROW_MM = 5.6;

const COLUMNS = [
  { title: "no.", share: 0.8, bold: true, align: "right" as const },
  { title: "x, from the left edge", share: 2.4, bold: true, align: "right" as const },
  { title: "y, from the lower edge", share: 2.4, bold: true, align: "right" as const },
  { title: "strand", share: 1.6, align: "right" as const },
  { title: "how many", share: 1.2, align: "right" as const },
  { title: "drill", share: 1.3, align: "right" as const },
  { title: "star", share: 2.6 },
  { title: "engine", share: 1.5 },
  { title: "checked", share: 1.6, align: "centre" as const },
];

const row = (context: SheetContext, hole: Hole): string[] => [
  String(hole.numberInTile),
  ruled(context, hole.tileXMm),
  ruled(context, hole.tileYMm),
  diameterWords(hole.diameterMm),
  String(hole.strands),
  hole.strands > 1 ? diameterWords(drillMm(hole)) : "",
  hole.kind === "filler" ? "filler" : hole.name,
  context.engineOf(hole) || (context.plan.job.bundles.engines.length > 0 ? "none" : ""),
  TICK,
];

const SIXTY_FOURTHS = 64;

/** As finely as a rule is read: tenths of a millimetre, or sixty-fourths of an inch (0.2 mm at most beside the place). */
export function ruled({ plan }: Pick<SheetContext, "plan">, mm: number): string {
  if (plan.job.units !== "ft-in") return `${(Math.round(mm * 10) / 10 + 0).toFixed(1)} mm`;
  const parts = Math.round((mm / 25.4) * SIXTY_FOURTHS);
  let [above, below] = [parts % SIXTY_FOURTHS, SIXTY_FOURTHS];
  while (above > 0 && above % 2 === 0) [above, below] = [above / 2, below / 2];
  const whole = Math.floor(parts / SIXTY_FOURTHS);
  return `${[...(whole > 0 || above === 0 ? [whole] : []), ...(above > 0 ? [`${above}/${below}`] : [])].join(" ")}"`;
}
