import { mapPoint, viewFrom, type Affine, type Side } from "../ceiling/flip.ts";
import type { Tile } from "../ceiling/types.ts";
import type { Area, PointMm } from "../geometry/types.ts";
import { toSheet, type Page } from "./pages.ts";
import { toMm } from "../geometry/um.ts";

/** A tile as read on one side, in mm from the lower left corner of its box. */
export interface TileView {
  tile: Tile;
  side: Side;
  widthMm: number;
  heightMm: number;
  /** From the plan's handedness to the reader's. */
  read: Affine;
}

export function viewOf(tile: Tile, side: Side): TileView {
  const { box } = tile;
  const [widthMm, heightMm] = [toMm(box.maxX - box.minX), toMm(box.maxY - box.minY)];
  const read = viewFrom(side, { minX: 0, minY: 0, maxX: widthMm, maxY: heightMm });
  return { tile, side, widthMm, heightMm, read };
}

/** A place of the tile (mm from its datum, seen from above) as the reader has it. */
export function asRead({ read }: TileView, [x, y]: PointMm): PointMm {
  const point = mapPoint(read, { x, y });
  return [point.x, point.y];
}

/** Rings of the plan on the sheet. */
export function ringsOnSheet(view: TileView, page: Page, area: Area): PointMm[][] {
  const { box } = view.tile;
  return area.map((ring) =>
    ring.map(({ x, y }) => toSheet(page, asRead(view, [toMm(x - box.minX), toMm(y - box.minY)]))),
  );
}

/** A page laid on the plan, as read from this view's side: the same piece of the tile. */
export function pageAsRead(page: Page, view: TileView): Page {
  const [x, y] = page.corner;
  const ends = [x, x + (page.field.x1 - page.field.x0) * page.shrink].map((at) => asRead(view, [at, y]));
  return { ...page, corner: [Math.min(ends[0]![0], ends[1]![0]), y] };
}
