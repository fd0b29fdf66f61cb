import { UM_PER_MM } from "../geometry/um.ts";
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

/** The cells of a room, and the brightness of the Milky Way behind each: the same for every strength of it. */
export interface SkyCells {
  cells: Omit<Density, "wish">;
  level: Float64Array;
  /** Mean over the area; 0 where there is no Milky Way on the ceiling. */
  mean: number;
}

export function skyCells(room: Room, projection: Projection, frame: SkyFrame, map: MilkyWayMap): SkyCells {
  const cells = cutIntoCells(room);
  const axes = planAxes(projection);
  const scale = scaleUm(projection);
  const [anchorX, anchorY] = projection.anchorMm;
  const level = new Float64Array(cells.count);
  let light = 0;
  let area = 0;
  for (let i = 0; i < cells.count; i++) {
    const u = (cells.minX[i]! + cells.width[i]! / 2 - anchorX * UM_PER_MM) / scale;
    const v = (cells.minY[i]! + cells.height[i]! / 2 - anchorY * UM_PER_MM) / scale;
    const [x, y, z] = icrsOf(frame, applyInverse(axes, stereographicInverse(u, v)));
    level[i] = milkyWayLevel(map, x, y, z);
    light += level[i]! * cells.areaMm2[i]!;
    area += cells.areaMm2[i]!;
  }
  return { cells, level, mean: light > 0 ? light / area : 0 };
}

/**
 * How much filler belongs where: `strength` 0 evenly, 1 in proportion to the brightness of the Milky Way
 * behind each cell, between them mixed. Evenly too where there is no Milky Way on the ceiling.
 */
export function fillerDensity({ cells, level, mean }: SkyCells, strength: number): Density {
  const wish = new Float64Array(cells.count).fill(1);
  if (strength > 0 && mean > 0)
    for (let i = 0; i < cells.count; i++)
      wish[i] = Math.round((1 - strength + (strength * level[i]!) / mean) * STEPS) / STEPS;
  return { ...cells, wish };
}

function cutIntoCells(room: Room): SkyCells["cells"] {
  const wholeUm2 = room.tiles.reduce(
    (sum, { box }) => sum + (box.maxX - box.minX) * (box.maxY - box.minY),
    0,
  );
  const side = Math.max(CELL_UM, Math.sqrt(wholeUm2 / MAX_CELLS));
  const cut = room.tiles.map(({ box, tile }) => {
    const [wide, high] = [box.maxX - box.minX, box.maxY - box.minY];
    const [columns, lines] = [wide, high].map((um) => Math.max(1, Math.round(um / side))) as [number, number];
    return { box, wide, high, columns, lines, share: (tile.usableMm2 * 1e6) / (wide * high) };
  });
  const count = cut.reduce((sum, { columns, lines }) => sum + columns * lines, 0);
  const whole = () => new Int32Array(count);
  const cells = { count, tiles: cut.length, tile: whole(), minX: whole(), minY: whole(), width: whole(), height: whole(), areaMm2: new Float64Array(count) }; // prettier-ignore
  let k = 0;
  cut.forEach(({ box, wide, high, columns, lines, share }, index) => {
    for (let j = 0; j < lines; j++)
      for (let i = 0; i < columns; i++, k++) {
        const x0 = box.minX + Math.floor((wide * i) / columns);
        const x1 = box.minX + Math.floor((wide * (i + 1)) / columns);
        const y0 = box.minY + Math.floor((high * j) / lines);
        const y1 = box.minY + Math.floor((high * (j + 1)) / lines);
        cells.tile[k] = index;
        cells.minX[k] = x0;
        cells.minY[k] = y0;
        cells.width[k] = x1 - x0;
        cells.height[k] = y1 - y0;
        cells.areaMm2[k] = ((x1 - x0) * (y1 - y0) * share) / 1e6;
      }
  });
  return cells;
}
