import type { PointMm, PointUm } from "./types.ts";

export const UM_PER_MM = 1000;

/** Millimetres to whole micrometres, nearest. Throws RangeError where the length isn't a finite number. */
export function toUm(mm: number): number {
  if (!Number.isFinite(mm)) throw new RangeError(`expected a length in mm, got ${mm}`);
  return Math.round(mm * UM_PER_MM) + 0; // + 0 turns -0 into 0
}

/** Whole micrometres to millimetres. */
export const toMm = (um: number): number => um / UM_PER_MM;

/** A point of the job to whole micrometres. */
export const pointToUm = ([x, y]: PointMm): PointUm => ({ x: toUm(x), y: toUm(y) });
