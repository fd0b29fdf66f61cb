import { inBoth, type Warning } from "../job/faults.ts";
import { metresInWords } from "../job/units.ts";
import type { Hole } from "../pattern/types.ts";
import type { Figure } from "../sky/types.ts";
import type { Strand, Tail } from "./types.ts";
import { FACTS } from "../trade/facts.ts";

/** Constellations whose stars are dimmed unevenly by the lengths of their strands. */
export function figureWarnings(
  holes: readonly Hole[],
  strands: readonly Strand[],
  figures: readonly Figure[],
): Warning[] {
  const holeOf = new Map(holes.map((hole) => [hole.id, hole]));
  const byStar = new Map<number, Strand>();
  for (const strand of strands) {
    const star = holeOf.get(strand.hole)?.star;
    if (star != null) byStar.set(star, strand);
  }
  return figures.flatMap((figure): Warning[] => {
    const own = [...new Set(figure.lines.flat())].flatMap((hip) => byStar.get(hip) ?? []);
    if (own.length < 2) return [];
    const sorted = [...own].sort((a, b) => a.lossMag - b.lossMag || a.hole - b.hole);
    const [least, most] = [sorted[0]!, sorted.at(-1)!];
    if (most.lossMag - least.lossMag < FACTS.figureLossMag.value) return [];
    const difference = (most.lossMag - least.lossMag).toFixed(2);
    return [
      {
        code: "figure-loses-unevenly",
        ...inBoth((units) => ({
          message:
            `${figure.name}: strands of ${metresInWords(least.lengthM, units)} to ${metresInWords(most.lengthM, units)} dim its stars unevenly by ${difference} ` +
            `magnitude (0.25 shows). ${most.engine} on tile ${most.tile} is the dimmest; feed the constellation from one ` +
            "engine, or let lengths be compensated (bundles.compensateLength).",
        })),
      },
    ];
  });
}

/** Neighbouring tiles whose light has come so different a way that its colour may differ. */
export function colourWarnings(
  tails: readonly Tail[],
  borders: readonly (readonly [string, string])[],
): Warning[] {
  const longest = new Map<string, number>();
  for (const { tile, lots } of tails)
    for (const { lengthM } of lots) longest.set(tile, Math.max(longest.get(tile) ?? 0, lengthM));
  const pairs = borders.flatMap(([a, b]) => {
    const [p, q] = [longest.get(a), longest.get(b)];
    return p !== undefined && q !== undefined && Math.abs(p - q) > FACTS.colourDriftM.value
      ? [{ a, b, by: Math.abs(p - q) }]
      : [];
  });
  if (pairs.length === 0) return [];
  const worst = pairs.reduce((x, y) => (y.by > x.by ? y : x));
  return [
    {
      code: "colour-drift",
      ...inBoth((units) => ({
        message:
          `White turns greenish with length: ${pairs.length} neighbouring pair${pairs.length > 1 ? "s" : ""} of tiles ` +
          `differ${pairs.length > 1 ? "" : "s"} by more than ${metresInWords(FACTS.colourDriftM.value, units)} of strand, most ${worst.a} and ` +
          `${worst.b} (${metresInWords(worst.by, units)}).`,
      })),
    },
  ];
}
