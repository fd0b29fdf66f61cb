import { UM_PER_MM } from "../../geometry/um.ts";
import type { Ceiling, Tile } from "../../ceiling/types.ts";
import type { PointMm } from "../../geometry/types.ts";

/** The tile in whose box a point of the plan lies, or null (a tee, outside). */
export function tileUnder(ceiling: Ceiling, [xMm, yMm]: PointMm): Tile | null {
  const x = xMm * UM_PER_MM;
  const y = yMm * UM_PER_MM;
  const inside = ({ box }: Tile): boolean => x >= box.minX && x <= box.maxX && y >= box.minY && y <= box.maxY;
  return ceiling.tiles.find(inside) ?? null;
}

/** Tiles that a brush passes over on a straight stroke, in the order of the stroke. */
export function tilesAlong(ceiling: Ceiling, from: PointMm, to: PointMm): Tile[] {
  const step = Math.min(...ceiling.grid.moduleMm) / 4;
  const count = Math.max(1, Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1]) / step));
  const found = new Set<Tile>();
  for (let i = 0; i <= count; i++) {
    const share = i / count;
    const tile = tileUnder(ceiling, [
      from[0] + (to[0] - from[0]) * share,
      from[1] + (to[1] - from[1]) * share,
    ]);
    if (tile) found.add(tile);
  }
  return [...found];
}

/** The tile beside another: dColumn to the right on the plan, dRow down it; the same one where there is none. */
export function tileBeside(ceiling: Ceiling, name: string, dColumn: number, dRow: number): Tile | null {
  const here = ceiling.tiles.find((t) => t.name === name) ?? ceiling.tiles[0];
  if (!here) return null;
  // Over a gap (a nook of the room) to the next tile in that line.
  const ahead = ceiling.tiles
    .map((tile) => ({ tile, columns: tile.column - here.column, rows: tile.row - here.row }))
    .filter(({ columns, rows }) =>
      dColumn !== 0 ? rows === 0 && columns * dColumn > 0 : columns === 0 && rows * dRow > 0,
    )
    .sort((a, b) => Math.abs(a.columns + a.rows) - Math.abs(b.columns + b.rows));
  return ahead[0]?.tile ?? here;
}
