import type { PointMm } from "../geometry/types.ts";

/**
 * The four corners of a room by which a picture is placed by hand: for each corner of its box (upper left, upper right,
 * lower right, lower left on the plan) the nearest corner of the outline, each once, so that a room with a nook is
 * asked for corners that it has.
 */
export function fourCorners(outlineMm: readonly PointMm[]): PointMm[] {
  const [x, y] = [0, 1].map((k) => outlineMm.map((p) => p[k]!)) as [number[], number[]];
  const [left, right, low, high] = [Math.min(...x), Math.max(...x), Math.min(...y), Math.max(...y)];
  const open: PointMm[] = [...outlineMm];
  return [
    [left, high],
    [right, high],
    [right, low],
    [left, low],
  ].flatMap(([bx, by]) => {
    // prettier-ignore
    const away = ([px, py]: PointMm) => Math.hypot(px - bx!, py - by!);
    open.sort((p, q) => away(p) - away(q));
    return open.splice(0, 1);
  });
}
