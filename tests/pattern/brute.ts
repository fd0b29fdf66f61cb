import type { Ceiling } from "../../src/ceiling/types.ts";
import { insideRings } from "./synthetic.ts";

export interface Point {
  x: number;
  y: number;
}

/** Whether a hole may lie at a point in mm: straight from the rings, no index. */
export const usable = (ceiling: Ceiling, x: number, y: number): boolean =>
  ceiling.tiles.some(
    ({ box, usable }) =>
      x * 1000 >= box.minX &&
      x * 1000 <= box.maxX &&
      y * 1000 >= box.minY &&
      y * 1000 <= box.maxY &&
      insideRings(usable, x * 1000, y * 1000),
  );

export const spaced = (holes: Point[], x: number, y: number, spacingMm: number): boolean =>
  holes.every((h) => Math.hypot(h.x - x, h.y - y) >= spacingMm);

/** All usable lattice points within reach of a point, nearest first, with their distances. */
export function latticeRound(ceiling: Ceiling, at: Point, reachMm: number, stepMm: number) {
  const found: { x: number; y: number; move: number }[] = [];
  const n = Math.ceil(reachMm / stepMm);
  for (let i = -n; i <= n; i++)
    for (let j = -n; j <= n; j++) {
      const x = at.x + i * stepMm;
      const y = at.y + j * stepMm;
      const move = Math.hypot(x - at.x, y - at.y);
      if (move <= reachMm && usable(ceiling, x, y)) found.push({ x, y, move });
    }
  return found.sort((p, q) => p.move - q.move);
}

/**
 * Least sum of weighted moves over all assignments of lattice points to stars, by exhaustive search with
 * cut-off; Infinity where not all stars fit.
 */
export function leastSum(
  choices: { x: number; y: number; move: number }[][],
  weights: number[],
  spacingMm: number,
  startAt = Infinity,
): number {
  let best = startAt;
  const rest = choices.map((_, k) => choices.slice(k).reduce((s, c, i) => s + (c[0]?.move ?? Infinity) * weights[k + i]!, 0)); // prettier-ignore
  const placed: Point[] = [];
  const go = (k: number, sum: number) => {
    if (k === choices.length) {
      best = Math.min(best, sum);
      return;
    }
    for (const c of choices[k]!) {
      const next = sum + c.move * weights[k]!;
      if (next + (rest[k + 1] ?? 0) >= best) return;
      if (!spaced(placed, c.x, c.y, spacingMm)) continue;
      placed.push(c);
      go(k + 1, next);
      placed.pop();
    }
  };
  go(0, 0);
  return best;
}
