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
  const own = new Map<Tile, number[]>();
  tile.forEach((t, i) => {
    const found = own.get(t);
    if (found) found.push(i);
    else own.set(t, [i]);
  });
  const tiles = [...own.keys()].sort(
    (p, q) => p.row - q.row || p.column - q.column || byName(p.name, q.name),
  );
  const order: number[] = [];
  for (const one of tiles) {
    const { box } = one;
    const ids = own.get(one)!.sort((p, q) => x[p]! - x[q]! || y[p]! - y[q]!);
    const px = ids.map((i) => x[i]! - box.minX);
    const py = ids.map((i) => y[i]! - box.minY);
    for (const k of ids.length > MOST_WALKED ? inBands(px, py) : walk(px, py)) order.push(ids[k]!);
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
  const path = nearestFirst(x, y);
  // places and legs in the order of the path; after the last hole there is no leg
  const px = Float64Array.from(path, (i) => x[i]!);
  const py = Float64Array.from(path, (i) => y[i]!);
  // squares of whole micrometres are exact below 2^53, and square roots are the same in every engine
  const apart = (p: number, q: number) => Math.sqrt((px[p]! - px[q]!) ** 2 + (py[p]! - py[q]!) ** 2);
  const legs = new Float64Array(n);
  for (let i = 0; i + 1 < n; i++) legs[i] = apart(i, i + 1);
  let compared = 0;
  for (let better = true; better && compared < MOST_COMPARED;) {
    better = false;
    for (let i = 0; i + 2 < n; i++)
      for (let j = i + 2; j < n; j++, compared++) {
        const shorter = legs[i]! + legs[j]! - GAIN_UM;
        const across = apart(i, j);
        if (across > shorter || across + (j + 1 < n ? apart(i + 1, j + 1) : 0) > shorter) continue;
        for (const column of [path, px, py]) column.subarray(i + 1, j + 1).reverse();
        legs.subarray(i + 1, j).reverse();
        legs[i] = across;
        if (j + 1 < n) legs[j] = apart(j, j + 1);
        better = true;
      }
  }
  return [...path];
}

function nearestFirst(x: number[], y: number[]): Int32Array {
  const path = new Int32Array(x.length);
  const left = new Uint8Array(x.length).fill(1);
  for (let k = 0, [fromX, fromY] = [0, 0]; k < path.length; k++) {
    let next = -1;
    let least = Infinity;
    for (let i = 0; i < path.length; i++) {
      if (left[i] === 0) continue;
      const away = (x[i]! - fromX) ** 2 + (y[i]! - fromY) ** 2;
      if (away < least) [next, least] = [i, away];
    }
    left[next] = 0;
    path[k] = next;
    [fromX, fromY] = [x[next]!, y[next]!];
  }
  return path;
}
