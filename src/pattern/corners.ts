import type { Board } from "./board.ts";
import type { Room } from "./room.ts";

/**
 * Corner points of what is left for a hole: where an edge of usable area crosses a spacing circle round a
 * hole, and where two spacing circles cross. Not rounded; + - * / sqrt only, so alike in every engine.
 */
export type Visit = (x: number, y: number) => void;

/** Offsets on the lattice round a rounded point, ring by ring: the point itself, 8 round it, 16 round those. */
const RINGS: [number, number][][] = [0, 1, 2].map((ring) => {
  const offsets: [number, number][] = [];
  for (let dy = -ring; dy <= ring; dy++)
    for (let dx = -ring; dx <= ring; dx++)
      if (Math.max(Math.abs(dx), Math.abs(dy)) === ring) offsets.push([dx, dy]);
  return offsets;
});
/** A corner is searched this far round on the lattice, in micrometres. */
export const LATTICE_SLACK_UM = 3;

/** Crossings of segment ab with the circle of radius r round (cx, cy). */
// eslint-disable-next-line max-params -- called in the inner loop
export function segmentCircle(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
  r: number,
  visit: Visit,
): void {
  const dx = bx - ax;
  const dy = by - ay;
  const length2 = dx * dx + dy * dy;
  if (length2 === 0) return;
  const middle = ((cx - ax) * dx + (cy - ay) * dy) / length2;
  const fx = ax + middle * dx - cx;
  const fy = ay + middle * dy - cy;
  const room = r * r - (fx * fx + fy * fy);
  if (room < 0) return;
  const half = Math.sqrt(room / length2);
  for (const t of [middle - half, middle + half]) if (t >= 0 && t <= 1) visit(ax + t * dx, ay + t * dy);
}

/** Crossings of two circles, the second of another radius if one is given. */
// eslint-disable-next-line max-params -- called in the inner loop
export function circleCircle(
  ax: number,
  ay: number,
  bx: number,
  by: number,
  r: number,
  visit: Visit,
  otherR = r,
): void {
  const dx = bx - ax;
  const dy = by - ay;
  const distance2 = dx * dx + dy * dy;
  if (distance2 === 0 || distance2 > (r + otherR) ** 2) return;
  const along = (1 + (r * r - otherR * otherR) / distance2) / 2;
  const height2 = (r * r - along * along * distance2) / distance2;
  if (height2 < 0) return;
  const height = Math.sqrt(height2);
  const x = ax + along * dx;
  const y = ay + along * dy;
  visit(x - height * dy, y + height * dx);
  visit(x + height * dy, y - height * dx);
}

/** A whole-micrometre point in a tile. */
export interface TilePoint {
  x: number;
  y: number;
  /** Index in Room.tiles. */
  tile: number;
}

/**
 * The free lattice point next to a corner, or null: of the nearest ring of lattice points that holds a free
 * one, the one nearest to (towardX, towardY). Free: in usable area of an open tile, no hole within spacing.
 */
// eslint-disable-next-line max-params -- called in the inner loop
export function freeBeside(
  room: Room,
  board: Board,
  x: number,
  y: number,
  towardX: number,
  towardY: number,
  open: (tile: number) => boolean,
): TilePoint | null {
  const clear = board.spacingUm - LATTICE_SLACK_UM;
  if (clear > 0 && board.closer(x, y, clear)) return null;
  const baseX = Math.round(x);
  const baseY = Math.round(y);
  for (const ring of RINGS) {
    let best: TilePoint | null = null;
    let bestD2 = Infinity;
    for (const [ox, oy] of ring) {
      const dx = baseX + ox - towardX;
      const dy = baseY + oy - towardY;
      const d2 = dx * dx + dy * dy;
      if (d2 >= bestD2) continue;
      const tile = room.tileAt(baseX + ox, baseY + oy);
      if (tile < 0 || !open(tile) || board.blocked(baseX + ox, baseY + oy)) continue;
      best = { x: baseX + ox, y: baseY + oy, tile };
      bestD2 = d2;
    }
    if (best) return best;
  }
  return null;
}
