import { applyInverse } from "../sky/linear.ts";
import { milkyWayLevel } from "../sky/catalog.ts";
import { icrsOf } from "../sky/frame.ts";
import { planAxes, scaleUm, stereographicInverse } from "../sky/projection.ts";
import type { MilkyWayMap, Projection, SkyFrame } from "../sky/types.ts";
import type { Room } from "./room.ts";

/** Size of a cell over which the wish for filler counts as even; larger where a room would need too many. */
const CELL_UM = 30_000;
const MAX_CELLS = 300_000;
/** Wishes are whole multiples of this share of the mean, so that no last bit can tip a choice. */
const STEPS = 1024;

/** Where filler is wanted: every star tile cut into cells, each with its wish per area (mean about 1). */
export interface Density {
  count: number;
  /** Number of tiles. */
  tiles: number;
  tile: Int32Array;
  minX: Int32Array;
  minY: Int32Array;
  width: Int32Array;
  height: Int32Array;
  /** Wish per area. */
  wish: Float64Array;
  /** Usable square millimetres, taking a tile's usable share as even over its box. */
  areaMm2: Float64Array;
}

/**
 * How much filler belongs where: `strength` 0 evenly, 1 in proportion to the brightness of the Milky Way
 * behind each cell, between them mixed. Evenly too where there is no Milky Way on the ceiling.
 */
export function fillerDensity(
  room: Room,
  projection: Projection,
  frame: SkyFrame,
  map: MilkyWayMap,
  strength: number,
): Density {
  const cells = cutIntoCells(room);
  if (strength <= 0) return cells;
  const axes = planAxes(projection);
  const scale = scaleUm(projection);
  const [anchorX, anchorY] = projection.anchorMm;
  const level = new Float64Array(cells.count);
  let light = 0;
  let area = 0;
  for (let i = 0; i < cells.count; i++) {
    const u = (cells.minX[i]! + cells.width[i]! / 2 - anchorX * 1000) / scale;
    const v = (cells.minY[i]! + cells.height[i]! / 2 - anchorY * 1000) / scale;
    const [x, y, z] = icrsOf(frame, applyInverse(axes, stereographicInverse(u, v)));
    level[i] = milkyWayLevel(map, x, y, z);
    light += level[i]! * cells.areaMm2[i]!;
    area += cells.areaMm2[i]!;
  }
  if (light <= 0) return cells;
  const mean = light / area;
  for (let i = 0; i < cells.count; i++)
    cells.wish[i] = Math.round((1 - strength + (strength * level[i]!) / mean) * STEPS) / STEPS;
  return cells;
}

function cutIntoCells(room: Room): Density {
  const wholeUm2 = room.tiles.reduce(
    (sum, { box }) => sum + (box.maxX - box.minX) * (box.maxY - box.minY),
    0,
  );
  const side = Math.max(CELL_UM, Math.sqrt(wholeUm2 / MAX_CELLS));
  const rows: number[][] = [];
  room.tiles.forEach(({ box, tile }, index) => {
    const width = box.maxX - box.minX;
    const height = box.maxY - box.minY;
    const columns = Math.max(1, Math.round(width / side));
    const lines = Math.max(1, Math.round(height / side));
    const share = (tile.usableMm2 * 1e6) / (width * height);
    for (let j = 0; j < lines; j++)
      for (let i = 0; i < columns; i++) {
        const x0 = box.minX + Math.floor((width * i) / columns);
        const x1 = box.minX + Math.floor((width * (i + 1)) / columns);
        const y0 = box.minY + Math.floor((height * j) / lines);
        const y1 = box.minY + Math.floor((height * (j + 1)) / lines);
        rows.push([index, x0, y0, x1 - x0, y1 - y0, ((x1 - x0) * (y1 - y0) * share) / 1e6]);
      }
  });
  const column = (k: number) => Int32Array.from(rows, (row) => row[k]!);
  return {
    count: rows.length,
    tiles: room.tiles.length,
    tile: column(0),
    minX: column(1),
    minY: column(2),
    width: column(3),
    height: column(4),
    wish: new Float64Array(rows.length).fill(1),
    areaMm2: Float64Array.from(rows, (row) => row[5]!),
  };
}
