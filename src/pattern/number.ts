import type { Tile } from "../ceiling/types.ts";

/** Tiles with more holes are numbered in bands instead: the walk's time grows with the square of their number. */
const MOST_WALKED = 1500;
/** Pairs of legs compared on one tile before its walk is taken as it is. */
const MOST_COMPARED = 400_000;
/** Height of a band. */
const BAND_UM = 50_000;
/** A walk shorter by less than this, micrometres, is no shorter. */
const GAIN_UM = 1;

/**
 * The order in which holes are numbered: tiles by row from the top and column from the left; within a tile
 * as a hand with an awl walks, beginning at the hole nearest the datum corner (lower left from above).
 * Returns indexes into the columns given, whole micrometres.
 */
export function numberingOrder(x: number[], y: number[], tile: Tile[]): number[] {
  const sorted = x
    .map((_, i) => i)
    .sort(
      (p, q) =>
        tile[p]!.row - tile[q]!.row ||
        tile[p]!.column - tile[q]!.column ||
        byName(tile[p]!.name, tile[q]!.name) ||
        x[p]! - x[q]! ||
        y[p]! - y[q]!,
    );
  const order: number[] = [];
  for (let from = 0, to = 0; from < sorted.length; from = to) {
    const { box } = tile[sorted[from]!]!;
    while (to < sorted.length && tile[sorted[to]!] === tile[sorted[from]!]) to++;
    const own = sorted.slice(from, to);
    const px = own.map((i) => x[i]! - box.minX);
    const py = own.map((i) => y[i]! - box.minY);
    for (const k of own.length > MOST_WALKED ? inBands(px, py) : walk(px, py)) order.push(own[k]!);
  }
  return order;
}

const byName = (p: string, q: string): number => (p < q ? -1 : p > q ? 1 : 0);

/** Band by band upward, there and back. */
function inBands(x: number[], y: number[]): number[] {
  const band = y.map((at) => Math.floor(at / BAND_UM));
  const way = (i: number) => (band[i]! % 2 === 0 ? x[i]! : -x[i]!);
  return x.map((_, i) => i).sort((p, q) => band[p]! - band[q]! || way(p) - way(q) || y[p]! - y[q]!);
}

/** From the datum always to the nearest hole left; then legs that cross are turned round (2-opt). An open path. */
function walk(x: number[], y: number[]): number[] {
  const n = x.length;
  // squares of whole micrometres are exact below 2^53, and square roots are the same in every engine
  const leg = (p: number, q: number) => Math.sqrt((x[p]! - x[q]!) ** 2 + (y[p]! - y[q]!) ** 2);
  const left = new Set(x.keys());
  const path: number[] = [];
  let square = (i: number) => x[i]! ** 2 + y[i]! ** 2;
  while (left.size > 0) {
    let next = -1;
    let least = Infinity;
    for (const i of left) {
      const away = square(i);
      if (away < least) [next, least] = [i, away];
    }
    left.delete(next);
    path.push(next);
    square = (i) => (x[i]! - x[next]!) ** 2 + (y[i]! - y[next]!) ** 2;
  }
  let compared = 0;
  for (let better = true; better && compared < MOST_COMPARED;) {
    better = false;
    for (let i = 0; i + 2 < n; i++)
      for (let j = i + 2; j < n; j++, compared++) {
        // the path may end anywhere: after the last hole there is no leg
        const before = leg(path[i]!, path[i + 1]!) + (j + 1 < n ? leg(path[j]!, path[j + 1]!) : 0);
        const after = leg(path[i]!, path[j]!) + (j + 1 < n ? leg(path[i + 1]!, path[j + 1]!) : 0);
        if (after > before - GAIN_UM) continue;
        for (let a = i + 1, b = j; a < b; a++, b--) [path[a], path[b]] = [path[b]!, path[a]!];
        better = true;
      }
  }
  return path;
}
