import { toMm } from "../geometry/um.ts";
import { usableAt } from "../ceiling/find.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { containsPoint } from "../geometry/area.ts";

/** Distance marking a cell outside the room. */
export const OUTSIDE = 65535;
/** Cells on the longer side of the map; a cell is never finer than this many micrometres. */
const CELLS = 420;
const FINEST_UM = 8000;

/**
 * The ceiling as a raster: for every cell how far (mm) the nearest usable cell is, 0 where a hole may lie,
 * OUTSIDE beyond the walls. Good to about a cell; for choosing among skies, never for settling a hole.
 */
export interface UsableMap {
  minX: number;
  minY: number;
  cellUm: number;
  width: number;
  height: number;
  distanceMm: Uint16Array;
  /** Share of the room's cells where a hole may lie. */
  usableShare: number;
}

export function usableMap(ceiling: Ceiling): UsableMap {
  const { minX, minY, maxX, maxY } = ceiling.box;
  const cellUm = Math.max(FINEST_UM, Math.ceil(Math.max(maxX - minX, maxY - minY) / CELLS));
  const width = Math.ceil((maxX - minX) / cellUm);
  const height = Math.ceil((maxY - minY) / cellUm);
  const far = (width + height) ** 2;
  const square = new Float64Array(width * height).fill(far);
  const inside = new Uint8Array(width * height);
  let room = 0;
  let usable = 0;
  for (let j = 0, i = 0; j < height; j++) {
    for (let k = 0; k < width; k++, i++) {
      const x = minX + k * cellUm + (cellUm >> 1);
      const y = minY + j * cellUm + (cellUm >> 1);
      const free = usableAt(ceiling, x, y);
      if (!free && !containsPoint(ceiling.outline, x, y)) continue;
      inside[i] = 1;
      room++;
      if (!free) continue;
      usable++;
      square[i] = 0;
    }
  }
  nearestSquares(square, width, height);
  const distanceMm = new Uint16Array(width * height);
  for (let i = 0; i < square.length; i++) {
    const mm = Math.round(toMm(Math.sqrt(square[i]!) * cellUm));
    distanceMm[i] = inside[i] === 1 ? Math.min(mm, OUTSIDE - 1) : OUTSIDE;
  }
  return { minX, minY, cellUm, width, height, distanceMm, usableShare: room === 0 ? 0 : usable / room };
}

/**
 * Squared distance transform in place, rows then columns: lower envelope of parabolas (Felzenszwalb and
 * Huttenlocher, Distance Transforms of Sampled Functions, 2012). Linear in the number of cells.
 */
function nearestSquares(square: Float64Array, width: number, height: number): void {
  const longest = Math.max(width, height);
  const line = new Float64Array(longest);
  const vertex = new Int32Array(longest);
  const border = new Float64Array(longest + 1);
  const pass = (start: number, step: number, count: number): void => {
    for (let i = 0; i < count; i++) line[i] = square[start + i * step]!;
    let top = 0;
    vertex[0] = 0;
    border[0] = -Infinity;
    border[1] = Infinity;
    for (let q = 1; q < count; q++) {
      let meet = meeting(line, vertex[top]!, q);
      while (meet <= border[top]!) meet = meeting(line, vertex[--top]!, q);
      top++;
      vertex[top] = q;
      border[top] = meet;
      border[top + 1] = Infinity;
    }
    for (let q = 0, at = 0; q < count; q++) {
      while (border[at + 1]! < q) at++;
      const v = vertex[at]!;
      square[start + q * step] = (q - v) * (q - v) + line[v]!;
    }
  };
  for (let j = 0; j < height; j++) pass(j * width, 1, width);
  for (let k = 0; k < width; k++) pass(k, width, height);
}

/** Where the parabolas rooted at v and q meet. */
function meeting(line: Float64Array, v: number, q: number): number {
  return (line[q]! + q * q - (line[v]! + v * v)) / (2 * q - 2 * v);
}

/** Distance to the nearest usable spot in mm, or OUTSIDE. Micrometres on the plan. */
export function distanceAt(map: UsableMap, xUm: number, yUm: number): number {
  const k = Math.floor((xUm - map.minX) / map.cellUm);
  const j = Math.floor((yUm - map.minY) / map.cellUm);
  if (k < 0 || j < 0 || k >= map.width || j >= map.height) return OUTSIDE;
  return map.distanceMm[j * map.width + k]!;
}
