import type { Scale } from "./ladder.ts";
import { holeLight } from "./packing.ts";
import { renderedMilli } from "./rungs.ts";
import type { Hole } from "./types.ts";

const milliOf = (hole: Hole): number => Math.round(hole.magnitude! * 1000);

/** Holes by a key that counts as one value. */
function grouped<K>(holes: readonly Hole[], key: (hole: Hole) => K): Hole[][] {
  const groups = new Map<K, Hole[]>();
  for (const hole of holes) {
    const group = groups.get(key(hole));
    if (group) group.push(hole);
    else groups.set(key(hole), [hole]);
  }
  return [...groups.values()];
}

/** Of the real objects: share of pairs of different magnitude that have the same light, 0 = every step shown. */
export function orderTies(real: readonly Hole[]): number {
  const pairs = (n: number) => (n * (n - 1)) / 2;
  const differing = (group: readonly Hole[]) =>
    grouped(group, milliOf).reduce((left, same) => left - pairs(same.length), pairs(group.length));
  const all = differing(real);
  return all > 0 ? grouped(real, holeLight).reduce((sum, group) => sum + differing(group), 0) / all : 0;
}

/**
 * Root mean square of rendered minus compressed magnitude, in magnitudes, after the best common zero point. Stars
 * alone: no strand has a Moon's light.
 */
export function stepError(real: readonly Hole[], { exponent }: Scale): number {
  const off = real
    .filter(({ kind }) => kind === "star")
    .map((hole) => (renderedMilli(hole.diameterMm, hole.strands) - exponent * milliOf(hole)) / 1000);
  const mean = off.reduce((sum, v) => sum + v, 0) / Math.max(1, off.length);
  return Math.sqrt(off.reduce((sum, v) => sum + (v - mean) ** 2, 0) / Math.max(1, off.length));
}

/**
 * How many of the `of` brightest objects of the sky are expected among the `of` holes of most light, where a tie on
 * either side is drawn by chance. Fewer holes than that: all count.
 */
export function leading(real: readonly Hole[], of: number): number {
  if (real.length <= of) return real.length;
  const inSky = chances(real, of, (hole) => -milliOf(hole));
  const onCeiling = chances(real, of, holeLight);
  return real.reduce((sum, hole) => sum + inSky(hole) * onCeiling(hole), 0);
}

/** A hole's chance to be among the first `of` by a value, most first. */
function chances(real: readonly Hole[], of: number, value: (hole: Hole) => number): (hole: Hole) => number {
  const sorted = real.map(value).sort((p, q) => q - p);
  const last = sorted[of - 1]!;
  const above = sorted.filter((v) => v > last).length;
  const tied = sorted.filter((v) => v === last).length;
  return (hole) => (value(hole) > last ? 1 : value(hole) === last ? (of - above) / tied : 0);
}
