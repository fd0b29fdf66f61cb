import type { Area, BoxUm, PointMm, PointUm } from "../geometry/types.ts";
import type { NoGo, TileUse } from "../job/sections/ceiling.ts";

/** One tile of the ceiling as it really is after cutting, seen from above. */
export interface Tile {
  /** Row letter and column number: A1 is top left on the plan. A cell cut in two gives A1 and A1-2. */
  name: string;
  row: number;
  column: number;
  use: TileUse;
  why: string;
  /** True where the outline cuts the full module. */
  cut: boolean;
  /** Edges of the tile itself (not the module): module cell within the outline, less half the slack all round. */
  outline: Area;
  /** Bounding box of the outline; its lower left corner is the datum of the tile. */
  box: BoxUm;
  /** Where holes could lie if there were no zone: [] where the use is not `stars`. */
  clear: Area;
  /** Where holes may lie: [] where the use is not `stars` or nothing is left. */
  usable: Area;
  usableMm2: number;
}

export interface Wall {
  name: string;
  fromUm: PointUm;
  toUm: PointUm;
  /** Compass bearing of the wall as seen from the middle of the room, 0-360. */
  facingDeg: number;
}

/** The grid with every default resolved. */
export interface Grid {
  moduleMm: PointMm;
  /** A tee crossing. */
  originMm: PointMm;
  teeFaceMm: number;
  tileMm: PointMm;
  thicknessMm: number;
  wallAngleMm: number;
  edgeKeepOutMm: number;
  /** Widths of the border tiles: left, right, bottom, top, in mm of module. */
  bordersMm: { left: number; right: number; bottom: number; top: number };
}

/** The surveyed ceiling, worked out: tiles, usable area, walls. Coordinates in micrometres on the plan. */
export interface Ceiling {
  outline: Area;
  /** Bounding box of the outline. Coordinates are those of the job, whose origin should be its lower left corner. */
  box: BoxUm;
  grid: Grid;
  walls: Wall[];
  /** By row from the top, then by column from the left. */
  tiles: Tile[];
  /** Pieces of cells too thin to be tiles, left out. */
  slivers: Area[];
  /** No-go shapes grown by their clearance. */
  noGo: { source: NoGo; index: number; shape: Area; grown: Area }[];
  bearingDeg: number;
  areaMm2: number;
  usableMm2: number;
  /** Tiles that were issued otherwise than they are surveyed now, each with why, in words. */
  misfits?: readonly { tile: string; why: string }[];
}
