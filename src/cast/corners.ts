import { drawnDownFrom, mapPoint, type Side } from "../ceiling/flip.ts";
import type { Tile } from "../ceiling/types.ts";
import { UM_PER_MM, toMm } from "../geometry/um.ts";

/** A place on a tile as it is looked at: right and down from the upper left corner of its box. */
export interface DrawnMm {
  xMm: number;
  yMm: number;
}

/** Upper left, upper right, lower right, lower left, as drawn. */
export type FourCorners = [DrawnMm, DrawnMm, DrawnMm, DrawnMm];

/** From the datum of a tile (mm, seen from above) to the tile as it is looked at from a side. */
export function drawnOn(tile: Pick<Tile, "box">, side: Side): (xMm: number, yMm: number) => DrawnMm {
  const { minX, minY, maxX, maxY } = tile.box;
  const flip = drawnDownFrom(side, { minX: 0, minY: 0, maxX: maxX - minX, maxY: maxY - minY });
  return (xMm, yMm) => {
    const { x, y } = mapPoint(flip, { x: xMm * UM_PER_MM, y: yMm * UM_PER_MM });
    return { xMm: toMm(x), yMm: toMm(y) };
  };
}

/** The corner of the tile itself that is nearest to each corner of its box; null where it has not four of them. */
export function cornersOf(tile: Pick<Tile, "box" | "outline">, side: Side): FourCorners | null {
  const { minX, minY, maxX, maxY } = tile.box;
  const drawn = drawnOn(tile, side);
  const points = tile.outline.flat().map(({ x, y }) => drawn(toMm(x - minX), toMm(y - minY)));
  const [w, h] = [toMm(maxX - minX), toMm(maxY - minY)];
  const found = [[0, 0], [w, 0], [w, h], [0, h]].map(([x, y]) => nearest(points, x!, y!)); // prettier-ignore
  return new Set(found).size === 4 ? (found as FourCorners) : null;
}

function nearest(points: readonly DrawnMm[], x: number, y: number): DrawnMm {
  const away = ({ xMm, yMm }: DrawnMm): number => (xMm - x) ** 2 + (yMm - y) ** 2;
  return points.reduce((best, point) => (away(point) < away(best) ? point : best));
}

/** Upper left to lower right, upper right to lower left, in mm. */
export function diagonalsMm([a, b, c, d]: FourCorners): [number, number] {
  const length = (p: DrawnMm, q: DrawnMm): number => Math.sqrt((p.xMm - q.xMm) ** 2 + (p.yMm - q.yMm) ** 2);
  return [length(a, c), length(b, d)];
}

/** Where the diagonals cross: found on the tile itself with a straight edge. */
export function middleOf([a, b, c, d]: FourCorners): DrawnMm {
  const [ux, uy, vx, vy] = [c.xMm - a.xMm, c.yMm - a.yMm, d.xMm - b.xMm, d.yMm - b.yMm];
  const t = ((b.xMm - a.xMm) * vy - (b.yMm - a.yMm) * vx) / (ux * vy - uy * vx);
  return { xMm: a.xMm + t * ux, yMm: a.yMm + t * uy };
}
