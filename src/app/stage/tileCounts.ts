import type { Ceiling, Tile } from "../../ceiling/types.ts";
import type { Hole } from "../../pattern/types.ts";
import { type PlanView, toScreen } from "./planView.ts";

export interface TileCount {
  tile: Tile;
  holes: number;
  filler: number;
  /** Holes for each square metre where holes may lie; 0 where none may. */
  perM2: number;
}

/** Strands of every tile, in the plan's order of tiles. */
export function tileCounts(ceiling: Ceiling, holes: readonly Hole[]): TileCount[] {
  const counts = new Map<string, { holes: number; filler: number }>();
  for (const { tile, kind } of holes) {
    const count = counts.get(tile) ?? { holes: 0, filler: 0 };
    count.holes++;
    if (kind === "filler") count.filler++;
    counts.set(tile, count);
  }
  return ceiling.tiles.map((tile) => {
    const count = counts.get(tile.name) ?? { holes: 0, filler: 0 };
    const perM2 = tile.usableMm2 > 0 ? count.holes / (tile.usableMm2 / 1e6) : 0;
    return { tile, ...count, perM2 };
  });
}

/** A module smaller than this on the screen has no room for a number that can be read. */
const ROOM_PX = 16;

/** The tiles in sight that have room to be written in: a hall of thousands, seen whole, has none. */
export function tilesWithRoom(ceiling: Ceiling | null, planView: PlanView): readonly Tile[] {
  if (!ceiling || Math.min(...ceiling.grid.moduleMm) * planView.pxPerMm < ROOM_PX) return [];
  return ceiling.tiles.filter(({ box }) => {
    const [x, y] = toScreen(planView, [(box.minX + box.maxX) / 2000, (box.minY + box.maxY) / 2000]);
    return x > -50 && y > -50 && x < planView.widthPx + 50 && y < planView.heightPx + 50;
  });
}

const LARGEST_PX = 20;
const SMALLEST_PX = 9;

/** How large a number in a tile is written, so that it fits the tile. */
export function countSizePx(ceiling: Ceiling | null, pxPerMm: number): number {
  const modulePx = Math.min(...(ceiling?.grid.moduleMm ?? [0])) * pxPerMm;
  return Math.min(LARGEST_PX, Math.max(SMALLEST_PX, modulePx * 0.36));
}
