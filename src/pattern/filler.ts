import { FILLER, type Board } from "./board.ts";
import type { Density } from "./density.ts";
import { packTiles } from "./pack.ts";
import type { Random } from "./random.ts";
import type { Room } from "./room.ts";

/**
 * Filled area of random discs when no more fit, 0.547 (random sequential adsorption in the plane; Feder,
 * J. Theor. Biol. 87, 1980): holes per area times radius squared is 4/pi of it.
 */
const JAMMED = (0.547 * 4) / Math.PI;
/** Distance to start from, as a share of the jammed one, and by how much it shrinks from sweep to sweep. */
const FIRST_SHARE = 1;
const SHRINK = 0.92;
/** Darts thrown in a sweep for each hole still wanted. */
const DARTS_PER_HOLE = 6;
const LEAST_DARTS = 64;
/** Filler comes this near to a real star, as a share of its distance to other filler. */
const TO_STARS = 0.5;

/**
 * Adds filler holes: as many as wanted where they fit, and returns how many. Blue noise: darts thrown with
 * the density wished for, each keeping a distance that goes with the density and shrinks from sweep to
 * sweep until the count is met, never below the spacing. Where that is not enough the wish is dropped, and
 * at last every corner left is tried, so that a shortfall means that nothing more fits beside these holes.
 * `quota` limits a tile's holes (all kinds) by index in Room.tiles.
 */
export function addFiller(
  room: Room,
  board: Board,
  density: Density,
  random: Random,
  want: number,
  quota: Int32Array | null,
): number {
  const goal = board.count + want;
  const left = () => goal - board.count;
  const leftIn = quota ? (tile: number) => quota[tile]! - board.perTile[tile]! : left;
  const parts = room.tiles.map((_, tile) => (quota ? Math.max(0, leftIn(tile)) : 0));
  for (const wish of [density.wish, new Float64Array(density.count).fill(1)]) {
    if (left() <= 0) break;
    const aim = distances(density, wish, want, quota && parts);
    throwDarts(room, board, { ...density, wish }, aim, random, left, leftIn, quota !== null);
  }
  if (left() > 0) packTiles(room, board, random, left, leftIn);
  return want - left();
}

/** Distance between filler holes, in each cell, at which random discs would jam with the count hoped for there. */
function distances(density: Density, wish: Float64Array, want: number, parts: number[] | null): Float64Array {
  const wished = wishedPerTile({ ...density, wish });
  const all = wished.reduce((sum, part) => sum + part, 0);
  return Float64Array.from(density.tile, (tile, cell) => {
    const perMm2 = wish[cell]! * (parts ? parts[tile]! / wished[tile]! : want / all);
    return perMm2 > 0 ? Math.sqrt((JAMMED * 1e6) / perMm2) : Infinity;
  });
}

function throwDarts(
  room: Room,
  board: Board,
  density: Density,
  jammedUm: Float64Array,
  random: Random,
  left: () => number,
  leftIn: (tile: number) => number,
  limited: boolean,
): void {
  const s = board.spacingUm;
  for (let share = FIRST_SHARE; left() > 0; share *= SHRINK) {
    const pick = picker(density, limited ? leftIn : null);
    if (!pick) return;
    let loosest = 0;
    const darts = LEAST_DARTS + DARTS_PER_HOLE * left();
    for (let dart = 0; dart < darts && left() > 0; dart++) {
      const cell = pick(random);
      const x = density.minX[cell]! + random.below(density.width[cell]! + 1);
      const y = density.minY[cell]! + random.below(density.height[cell]! + 1);
      const distance = Math.floor(share * jammedUm[cell]!);
      loosest = Math.max(loosest, distance);
      const tile = room.tileAt(x, y);
      if (tile < 0 || leftIn(tile) <= 0) continue;
      const toStars = Math.max(s, Math.floor(distance * TO_STARS));
      if (!board.closer(x, y, toStars, Math.max(s, distance))) board.add(x, y, tile, FILLER);
    }
    if (loosest <= s) return;
  }
}

function wishedPerTile(density: Density): Float64Array {
  const wished = new Float64Array(density.tiles);
  for (let i = 0; i < density.count; i++) wished[density.tile[i]!]! += density.wish[i]! * density.areaMm2[i]!;
  return wished;
}

/** Draws cells in proportion to the filler wished for there, or to what their tiles still lack; null for none. */
function picker(density: Density, leftIn: ((tile: number) => number) | null) {
  const wished = wishedPerTile(density);
  const sums = new Float64Array(density.count);
  let total = 0;
  for (let i = 0; i < density.count; i++) {
    const tile = density.tile[i]!;
    const part = density.wish[i]! * density.areaMm2[i]!;
    if (part > 0) total += leftIn ? (part * Math.max(0, leftIn(tile))) / wished[tile]! : part;
    sums[i] = total;
  }
  if (total <= 0) return null;
  return (random: Random) => {
    const at = (random.next() / 2 ** 32) * total;
    let low = 0;
    let high = density.count - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sums[middle]! > at) high = middle;
      else low = middle + 1;
    }
    return low;
  };
}
