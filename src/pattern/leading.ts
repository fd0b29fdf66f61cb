import { groupBy } from "../groupBy.ts";
import { heldIn, type Scale } from "./ladder.ts";
import { holeLight, type Strung } from "./packing.ts";
import { renderedMilli } from "./rungs.ts";
import type { Hole, LostStar } from "./types.ts";

const milliOf = (hole: Hole): number => Math.round(hole.magnitude! * 1000);

/** Holes by a key that counts as one value. */
const grouped = (holes: readonly Hole[], key: (hole: Hole) => number): Hole[][] => [
  ...groupBy(holes, key).values(),
];

/** Of the real objects: share of pairs of different magnitude that have the same light, 0 = every step shown. */
export function orderTies(real: readonly Hole[]): number {
  const pairs = (n: number) => (n * (n - 1)) / 2;
  const differing = (group: readonly Hole[]) =>
    grouped(group, milliOf).reduce((left, same) => left - pairs(same.length), pairs(group.length));
  const all = differing(real);
  return all > 0 ? grouped(real, holeLight).reduce((sum, group) => sum + differing(group), 0) / all : 0;
}

/** A star (magnitude in thousandths) and what shines for it. */
export interface Lit extends Strung {
  milli: number;
}

const litBy = (hole: Hole): Lit => ({
  diameterMm: hole.diameterMm,
  strands: hole.strands,
  milli: milliOf(hole),
});

/**
 * Root mean square of rendered minus compressed magnitude, in magnitudes, after the best common zero point; stars beyond
 * the ends of the scale count as if at its ends.
 */
export function stepErrorOf(
  stars: readonly Lit[],
  { exponent, ends }: Pick<Scale, "exponent" | "ends">,
): number {
  const off = stars.map(
    (star) => (renderedMilli(star.diameterMm, star.strands) - exponent * heldIn(ends, star.milli)) / 1000,
  );
  const mean = off.reduce((sum, v) => sum + v, 0) / Math.max(1, off.length);
  return Math.sqrt(off.reduce((sum, v) => sum + (v - mean) ** 2, 0) / Math.max(1, off.length));
}

/** The same of holes; stars alone: no strand has a Moon's light. */
export const stepError = (real: readonly Hole[], scale: Scale): number =>
  stepErrorOf(real.filter(({ kind }) => kind === "star").map(litBy), scale);

/**
 * How many of the `of` brightest objects of the sky are expected among the `of` holes of most light, where a tie on
 * either side is drawn by chance. `without` are magnitudes (thousandths) of objects that have no hole.
 */
export function leadingOf(lit: readonly Lit[], of: number, without: readonly number[] = []): number {
  const inSky = chances([...lit.map(({ milli }) => -milli), ...without.map((milli) => -milli)], of);
  const onCeiling = chances(lit.map(holeLight), of);
  return lit.reduce((sum, one) => sum + inSky(-one.milli) * onCeiling(holeLight(one)), 0);
}

/** The same of holes and of what was lost on the way. */
export const leading = (real: readonly Hole[], lost: readonly LostStar[], of: number): number =>
  leadingOf(
    real.map(litBy),
    of,
    lost.filter(({ reason }) => reason !== "merged").map(({ magnitude }) => Math.round(magnitude * 1000)),
  );

/** The chance to be among the first `of`, by value, most first. */
function chances(values: readonly number[], of: number): (value: number) => number {
  // the first few of very many: nothing else is sorted
  const first: number[] = [];
  for (const value of values) {
    if (first.length === of && value <= first[of - 1]!) continue;
    let at = first.length;
    while (at > 0 && first[at - 1]! < value) at--;
    first.splice(at, 0, value);
    first.length = Math.min(of, first.length);
  }
  const last = first[of - 1] ?? -Infinity;
  let [above, tied] = [0, 0];
  for (const value of values) {
    if (value > last) above++;
    else if (value === last) tied++;
  }
  return (value) => (value > last ? 1 : value === last ? (of - above) / tied : 0);
}
