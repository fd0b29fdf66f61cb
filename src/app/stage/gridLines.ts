import { toMm } from "../../geometry/um.ts";
import type { Ceiling } from "../../ceiling/types.ts";

/** Tees along one axis: where they cross it, in plan millimetres, strictly inside the room's box. */
export function teeLines(ceiling: Ceiling, axis: 0 | 1): number[] {
  const { originMm, moduleMm } = ceiling.grid;
  const low = toMm(axis === 0 ? ceiling.box.minX : ceiling.box.minY);
  const high = toMm(axis === 0 ? ceiling.box.maxX : ceiling.box.maxY);
  const first = Math.floor((low - originMm[axis]) / moduleMm[axis]) + 1;
  const lines: number[] = [];
  for (let k = first; ; k++) {
    const at = originMm[axis] + k * moduleMm[axis];
    if (at >= high - 0.001) return lines;
    if (at > low + 0.001) lines.push(at);
  }
}
