import { magnitudeOf } from "./light.ts";
import { holeMm, type Strung } from "./packing.ts";

/** Strands of one diameter. */
export interface Strands {
  diameterMm: number;
  count: number;
}

/** What the ladder may do with the stock: the part of `job.strands` that it reads. */
export interface LadderSettings {
  /** Strands in one hole, at most: 1 to 7. */
  mostPerHole: number;
  /** Largest hole that the fabric takes. */
  largestHoleMm: number;
  /** Light goes with the true light to this power; null: as the stock and the sky suggest. */
  lightExponent: number | null;
}

/** One brightness that a hole can have. */
export interface Rung extends Strung {
  /** Index into the kinds. */
  kind: number;
  /** Rendered magnitude in thousandths, 0 for one strand of 1 mm. */
  milli: number;
}

/**
 * Rendered magnitude of a hole in thousandths, 0 for one strand of 1 mm: light goes with the area of the
 * strands' ends, whole and alike in every engine.
 */
export const renderedMilli = (diameterMm: number, strands = 1): number =>
  magnitudeOf(strands * diameterMm * diameterMm);

/** The stock, one kind for each diameter, thickest first; none that is empty. */
export function thickestFirst(stock: readonly Strands[]): Strands[] {
  const counts = new Map<number, number>();
  for (const { diameterMm, count } of stock)
    if (count > 0) counts.set(diameterMm, (counts.get(diameterMm) ?? 0) + count);
  return [...counts]
    .map(([diameterMm, count]) => ({ diameterMm, count }))
    .sort((p, q) => q.diameterMm - p.diameterMm);
}

/** Every brightness that these kinds allow, brightest first; of two alike, the one with fewer strands. */
export function rungsOf(
  kinds: readonly Strands[],
  { mostPerHole, largestHoleMm }: Pick<LadderSettings, "mostPerHole" | "largestHoleMm">,
): Rung[] {
  const rungs: Rung[] = [];
  kinds.forEach(({ diameterMm, count }, kind) => {
    for (let strands = 1; strands <= Math.min(mostPerHole, count); strands++)
      if (strands === 1 || holeMm({ diameterMm, strands }) <= largestHoleMm)
        rungs.push({ diameterMm, strands, kind, milli: renderedMilli(diameterMm, strands) });
  });
  rungs.sort((p, q) => p.milli - q.milli || p.strands - q.strands);
  return rungs.filter((rung, i) => i === 0 || rung.milli !== rungs[i - 1]!.milli);
}

/** The stock without its thinnest strands, so many of them. */
export function withoutThinnest(stock: readonly Strands[], strands: number): Strands[] {
  const kinds = thickestFirst(stock);
  for (let k = kinds.length - 1, left = strands; k >= 0 && left > 0; k--) {
    const taken = Math.min(left, kinds[k]!.count);
    kinds[k]!.count -= taken;
    left -= taken;
  }
  return kinds.filter(({ count }) => count > 0);
}

/** What holes leave of the stock, thickest first. */
export function spareOf(stock: readonly Strands[], holes: readonly Strung[]): Strands[] {
  const left = new Map(thickestFirst(stock).map(({ diameterMm, count }) => [diameterMm, count]));
  for (const { diameterMm, strands } of holes) left.set(diameterMm, (left.get(diameterMm) ?? 0) - strands);
  return [...left].flatMap(([diameterMm, count]) => (count > 0 ? [{ diameterMm, count }] : []));
}
