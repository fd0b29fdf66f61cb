import { UM_PER_MM } from "../geometry/um.ts";
import type { Board } from "./board.ts";
import { holeMm, type Strung } from "./packing.ts";
import type { Room } from "./room.ts";

/** A wide hole is looked for a place this far round, on a lattice of such steps. */
const REACH_UM = 12_000;
const STEP_UM = 500;

/** Offsets on the lattice, the nearest first. */
const OFFSETS: readonly (readonly [number, number])[] = (() => {
  const most = REACH_UM / STEP_UM;
  const all: [number, number][] = [];
  for (let y = -most; y <= most; y++)
    for (let x = -most; x <= most; x++)
      if (x * x + y * y <= most * most) all.push([x * STEP_UM, y * STEP_UM]);
  return all.sort((p, q) => p[0] ** 2 + p[1] ** 2 - q[0] ** 2 - q[1] ** 2 || p[1] - q[1] || p[0] - q[0]);
})();

/** By how much a hole of several strands reaches farther than one of them would, in whole micrometres upward. */
export const excessUm = (strung: Strung): number =>
  Math.ceil(((holeMm(strung) - strung.diameterMm) / 2) * UM_PER_MM - 1e-6);

/**
 * Smallest spacing and keep-outs hold for holes of one strand. A hole of several is wider: it keeps as much more from
 * edges and from other holes. Holes that don't are moved to the nearest place where they do, most light first; those a
 * person put stay. Where there is no such place that its star reaches, the hole stays; its id is returned.
 */
export function widen(
  room: Room,
  board: Board,
  ids: readonly number[],
  strungOf: ReadonlyMap<number, Strung>,
  reaches: (id: number, x: number, y: number) => boolean,
): number[] {
  const excess = (id: number) => excessUm(strungOf.get(id)!);
  const wide = ids
    .filter((id) => strungOf.get(id)!.strands > 1)
    .sort((p, q) => excess(q) - excess(p) || p - q);
  const most = wide.length > 0 ? excess(wide[0]!) : 0;
  const tight: number[] = [];
  for (const id of wide) {
    const own = excess(id);
    const [x, y, tile] = [board.x[id]!, board.y[id]!, board.tile[id]!];
    const fits = (px: number, py: number): boolean =>
      room.tileAt(px, py) === tile &&
      fromEdge2(room, tile, px, py) >= own * own &&
      board.within(px, py, board.spacingUm + own + most).every((other) => {
        if (other === id) return true;
        const least = board.spacingUm + own + excess(other);
        return (board.x[other]! - px) ** 2 + (board.y[other]! - py) ** 2 >= least * least;
      });
    if (fits(x, y)) continue;
    const to = board.fixed[id]
      ? undefined
      : OFFSETS.find(([dx, dy]) => reaches(id, x + dx, y + dy) && fits(x + dx, y + dy));
    if (!to) {
      tight.push(id);
      continue;
    }
    board.lift(id);
    board.put(id, x + to[0], y + to[1], tile);
  }
  return tight;
}

/** Squared distance of a point from the nearest edge of a tile's usable area. */
function fromEdge2(room: Room, tile: number, x: number, y: number): number {
  const { edges } = room.tiles[tile]!;
  let least = Infinity;
  for (let i = 0; i < edges.length; i += 4) {
    const [ax, ay] = [edges[i]!, edges[i + 1]!];
    const [dx, dy] = [edges[i + 2]! - ax, edges[i + 3]! - ay];
    const length2 = dx * dx + dy * dy;
    const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / length2));
    least = Math.min(least, (ax + t * dx - x) ** 2 + (ay + t * dy - y) ** 2);
  }
  return least;
}
