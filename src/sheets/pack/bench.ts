import type { Bundles, Strand } from "../../bundles/types.ts";
import type { Takeoff } from "../../takeoff/types.ts";
import { countStrands, strungWords, type Strung } from "../../pattern/packing.ts";
import { groupBy } from "../../groupBy.ts";
import type { Hole } from "../../pattern/types.ts";
import { wallAbove } from "../bearings.ts";
import { tilesWithHoles, type SheetContext, type TileHoles } from "../context.ts";
import { BLANK, TICK, type PackDocument } from "./document.ts";
import { leftHangingWords, massWords, tieDownWords, cutWords, runs, sizeWords } from "./words.ts";
import { toMm } from "../../geometry/um.ts";

/** Tile by tile at the bench: which holes take which strand, and boxes to tick. */
export function benchSection(doc: PackDocument, bundles: Bundles, takeoff: Takeoff): void {
  const { plan } = doc.context;
  const strandsOf = groupBy(bundles.strands, ({ hole }) => hole);
  const weightOf = new Map(takeoff.weights.map((weight) => [weight.tile, weight]));
  doc.section("Bench list");
  doc.write(
    `Upholster first: pile as the arrow on the back says, a day for the spray to go off. Then each tile: template on the datum corner, punch or drill what the hole needs, thread, a dot of low-temperature glue at the hole and another ${tieDownWords(doc.context)} on, ${leftHangingWords(doc.context)} left hanging. Hole numbers are those of the templates.`,
  );
  for (const part of tilesWithHoles(plan)) {
    const { tile, holes } = part;
    const weight = weightOf.get(tile.name);
    const size = `${sizeWords(doc.context, toMm(tile.box.maxX - tile.box.minX))} × ${sizeWords(doc.context, toMm(tile.box.maxY - tile.box.minY))}`;
    const rows = rowsFor(doc.context, part, strandsOf);
    const lines = rows.reduce((sum, row) => sum + Math.ceil(row[3]!.length / CHARACTERS_A_LINE), 0);
    doc.together(34 + lines * 4.4);
    doc.heading(`Tile ${tile.name}: ${holes.length} holes, ${countStrands(holes)} strands`);
    for (const { name, why } of doc.context.holds.get(tile.name) ?? [])
      doc.write(`HOLD, do not punch. ${name}: ${why}.`, 3.2, { bold: true });
    doc.write(
      `${size}${tile.cut ? ", cut" : ""}; arrow to ${wallAbove(plan, tile)}.` +
        (weight ? ` Gains about ${massWords(doc.context, weight.addedKg)}.` : ""),
      2.5,
    );
    doc.table(COLUMNS, rows, { leastRowMm: 5.2 });
    doc.table(CHECKS, [[TICK, TICK, TICK, TICK, TICK, BLANK, BLANK]], { leastRowMm: 5.2 });
  }
}

/** About so many fit the column of holes: only decides where a page breaks. */
const CHARACTERS_A_LINE = 62;

const COLUMNS = [
  { title: "in each hole", share: 2, bold: true },
  { title: "length", share: 1.2 },
  { title: "engine", share: 1.2 },
  { title: "holes", share: 7.7 },
  { title: "strands", share: 1.4, align: "right" as const, bold: true },
  { title: "punched", share: 1.55, align: "centre" as const },
  { title: "threaded", share: 1.55, align: "centre" as const },
  { title: "glued", share: 1.1, align: "centre" as const },
];

const CHECKS = [
  { title: "pile arrow", share: 2, align: "centre" as const },
  { title: "count agrees", share: 2, align: "centre" as const },
  { title: "each strand tugged", share: 2.6, align: "centre" as const },
  { title: "tail labelled, both ends", share: 3, align: "centre" as const },
  { title: "spare coiled", share: 2, align: "centre" as const },
  { title: "weight", share: 2 },
  { title: "initials", share: 2 },
];

/** A row for each engine, group of strands and length, its holes by channel; holes without a strand last. */
function rowsFor(
  context: SheetContext,
  { holes }: TileHoles,
  strandsOf: ReadonlyMap<number, readonly Strand[]>,
): string[][] {
  const rows = new Map<string, { strands: readonly Strand[]; strung: Strung; holes: Hole[] }>();
  for (const hole of holes) {
    const strands = strandsOf.get(hole.id) ?? [];
    const lengths = strands.map(({ lengthM }) => lengthM).sort((a, b) => a - b);
    const key = [hole.diameterMm, hole.strands, ...lengths, strands[0]?.engine].join(" ");
    const row = rows.get(key) ?? { strands, strung: hole, holes: [] };
    row.holes.push(hole);
    rows.set(key, row);
  }
  return [...rows.values()]
    .sort(
      (a, b) =>
        b.strung.diameterMm - a.strung.diameterMm ||
        b.strung.strands - a.strung.strands ||
        byLetters(a.strands[0]?.engine ?? "~", b.strands[0]?.engine ?? "~") ||
        (a.strands[0]?.lengthM ?? 0) - (b.strands[0]?.lengthM ?? 0),
    )
    .map(({ strands, strung, holes: own }) => [
      strungWords(strung),
      strands.length > 0 ? cutWords(context, strands) : "none",
      strands[0]?.engine ?? "none",
      holeWords(own, strandsOf),
      String(countStrands(own)),
      TICK,
      TICK,
      TICK,
    ]);
}

/** "1-3, 9", or with channels "channel 1: 1-3; channel 2: 9". */
function holeWords(holes: readonly Hole[], strandsOf: ReadonlyMap<number, readonly Strand[]>): string {
  const channels = new Map<number | null, number[]>();
  for (const { id, numberInTile } of holes) {
    const channel = strandsOf.get(id)?.[0]?.channel ?? null;
    channels.set(channel, [...(channels.get(channel) ?? []), numberInTile]);
  }
  return [...channels]
    .sort(([a], [b]) => (a ?? 0) - (b ?? 0))
    .map(([channel, numbers]) => (channel === null ? runs(numbers) : `channel ${channel}: ${runs(numbers)}`))
    .join("; ");
}

const byLetters = (a: string, b: string): number => (a === b ? 0 : a < b ? -1 : 1);
