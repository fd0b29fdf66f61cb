import { lineUm, stripAt } from "../ceiling/grid.ts";
import type { Ceiling, Grid, Tile } from "../ceiling/types.ts";
import { boxOf } from "../geometry/measure.ts";
import type { BoxUm, PointUm } from "../geometry/types.ts";
import { bandFor, BROUGHT_OUT_UM, ease } from "./band.ts";
import { gapsOf, pushOut, type Gap } from "./gaps.ts";
import type { Room } from "./room.ts";

/** Stars this bright (thousandths) use so little of the band: they come clear of what hides them and hardly farther; ... */
const STILL_MILLI = 3000;
const LEAST_SHARE = 0.25;
/** ... those this faint make way over the whole band, and between the two over part of it. */
const WHOLE_BAND_MILLI = 3500;

/** A tile as the sky is eased into it. */
interface EasedTile {
  /** Box of its clear area. */
  frame: BoxUm;
  /** How far beyond each side of the frame the sky reaches that falls to this tile: the middle of a tee, the wall. */
  hidden: { left: number; right: number; below: number; above: number };
  gaps: Gap[];
}

/**
 * Makes way for the sky: beside every tee, wall, plain tile and no-go zone places are eased inward by a map that
 * keeps their order and jumps nowhere but along the middle of what hides them, so that no row of stars draws
 * an edge. First each axis of a tile by itself, from the middle of one tee to the middle of the next; then
 * away from what is missing of the tile. + - * / sqrt only, so alike in every engine.
 */
export class Easing {
  private readonly room: Room;
  private readonly grid: Grid;
  private readonly reachUm: number;
  /** How much is brought out from under what is wide. */
  private readonly wideUm: number;
  private readonly tiles: EasedTile[];
  private readonly byCell = new Map<string, number[]>();

  /** No place is moved farther than `reachUm`. */
  constructor(room: Room, ceiling: Ceiling, reachUm: number) {
    this.room = room;
    this.grid = ceiling.grid;
    this.reachUm = reachUm;
    this.wideUm = Math.min(BROUGHT_OUT_UM, reachUm);
    const cells = room.tiles.map(({ tile }) => this.cellOf(tile));
    cells.forEach(([i, j], index) => {
      const there = this.byCell.get(`${i},${j}`);
      if (there) there.push(index);
      else this.byCell.set(`${i},${j}`, [index]);
    });
    this.tiles = room.tiles.map(({ tile }, index) => {
      const frame = boxOf(tile.clear);
      const side = (axis: 0 | 1, step: 0 | 1): number => {
        const [i, j] = cells[index]!;
        const by = step ? 1 : -1;
        const starsBeyond = this.byCell.has(axis ? `${i},${j + by}` : `${i + by},${j}`);
        if (!starsBeyond) return this.wideUm;
        const middle = lineUm(this.grid, axis, cells[index]![axis] + step);
        return Math.min(reachUm, Math.abs(middle - edge(frame, axis, step)));
      };
      const hidden = { left: side(0, 0), right: side(0, 1), below: side(1, 0), above: side(1, 1) };
      return { frame, hidden, gaps: gapsOf(tile, frame) };
    });
  }

  /**
   * Where a place (whole micrometres) is eased to; null where it lies too deep under something to be brought out.
   * `share` of the band: see `bandShare`.
   */
  eased(x: number, y: number, share: number): PointUm | null {
    const owner = this.ownerOf(x, y);
    if (owner < 0) return null;
    const { frame, hidden, gaps } = this.tiles[owner]!;
    const atX = easeAxis(x, frame.minX, frame.maxX, hidden.left, hidden.right, share);
    const atY = easeAxis(y, frame.minY, frame.maxY, hidden.below, hidden.above, share);
    if (atX === null || atY === null) return null;
    const at: PointUm = { x: atX, y: atY };
    for (const gap of gaps) {
      const to = pushOut(gap, at.x, at.y, this.wideUm, share);
      if (!to) return null;
      at.x = heldBack(at.x, to.x, frame.minX, frame.maxX);
      at.y = heldBack(at.y, to.y, frame.minY, frame.maxY);
    }
    const dx = at.x - x;
    const dy = at.y - y;
    const d = Math.sqrt(dx * dx + dy * dy);
    // so that rounding can't put it beyond its reach
    const most = Math.max(0, this.reachUm - 1);
    const part = d > most ? most / d : 1;
    return { x: Math.round(x + dx * part), y: Math.round(y + dy * part) };
  }

  /** The tile whose part of the sky a place is, or -1. */
  private ownerOf(x: number, y: number): number {
    const here = this.byCell.get(`${stripAt(this.grid, 0, x)},${stripAt(this.grid, 1, y)}`);
    const near = here ?? this.room.tilesNear(x, y, this.reachUm);
    let best = -1;
    let least = Infinity;
    for (const index of near) {
      const { minX, minY, maxX, maxY } = this.tiles[index]!.frame;
      const dx = Math.max(0, minX - x, x - maxX);
      const dy = Math.max(0, minY - y, y - maxY);
      const d2 = dx * dx + dy * dy;
      if (d2 >= least) continue;
      least = d2;
      best = index;
    }
    return best;
  }

  private cellOf({ box }: Tile): [number, number] {
    return [
      stripAt(this.grid, 0, (box.minX + box.maxX) / 2),
      stripAt(this.grid, 1, (box.minY + box.maxY) / 2),
    ];
  }
}

/** How much of the band a star's easing uses, 0 to 1: bright ones move least, and are too few to draw an edge. */
export const bandShare = (milli: number): number =>
  Math.min(1, Math.max(LEAST_SHARE, (milli - STILL_MILLI) / (WHOLE_BAND_MILLI - STILL_MILLI)));

const edge = (box: BoxUm, axis: 0 | 1, step: 0 | 1): number =>
  axis ? (step ? box.maxY : box.minY) : step ? box.maxX : box.minX;

// eslint-disable-next-line max-params -- called in the inner loop
function easeAxis(
  v: number,
  min: number,
  max: number,
  before: number,
  after: number,
  share: number,
): number | null {
  const half = (max - min) / 2;
  const low = v < min + half;
  const inside = ease(low ? v - min : max - v, bandFor(low ? before : after, half), share);
  return inside === null ? null : low ? min + inside : max - inside;
}

/** A move from one coordinate to another, slowed in the last half of the way to the frame so that it never gets there. */
function heldBack(from: number, to: number, min: number, max: number): number {
  const way = Math.abs(to - from);
  const free = Math.max(0, to > from ? max - from : from - min);
  if (2 * way <= free) return to;
  const part = free - (free * free) / (4 * way);
  return to > from ? from + part : from - part;
}
