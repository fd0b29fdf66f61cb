import { FILLER, type Board } from "./board.ts";
import type { Density } from "./density.ts";
import { fillCorners } from "./fillCorners.ts";
import type { Random } from "./random.ts";
import type { Room } from "./room.ts";

/** Darts thrown in a sweep for each hole still wanted. */
const DARTS_PER_HOLE = 6;
const LEAST_DARTS = 64;
/** A sweep in which fewer than one dart of so many finds a place is the last. */
const POOREST = 50;

/** What filling takes: the room, what stands in it already, what is wished for where, and chance. */
export interface Filling {
  room: Room;
  board: Board;
  density: Density;
  random: Random;
  /** Tiles that get none (1), by index in Room.tiles. */
  shut?: Uint8Array;
  stop: () => void;
}

/**
 * Adds invented points: as many as wanted where they fit, and returns how many. By chance, as faint stars are:
 * darts thrown with the density wished for, each kept where it is usable and no hole is nearer than the
 * spacing. Where that is not enough the wish is dropped, and at last every corner left is tried, so that a
 * shortfall means that nothing more fits beside these holes. `quota` limits a tile's holes (all kinds) by
 * index in Room.tiles.
 */
export function addFiller(filling: Filling, want: number, quota: Int32Array | null): number {
  const { board, density, shut } = filling;
  const goal = board.count + want;
  const left = () => goal - board.count;
  const leftIn = (tile: number) => (shut?.[tile] ? 0 : quota ? quota[tile]! - board.perTile[tile]! : left());
  const areaMm2 = density.areaMm2.map((area, i) => (shut?.[density.tile[i]!] ? 0 : area));
  for (const wish of [density.wish, new Float64Array(density.count).fill(1)])
    throwDarts({ ...filling, density: { ...density, areaMm2, wish } }, left, leftIn, quota !== null);
  if (left() > 0) fillCorners(filling, left, leftIn);
  return want - left();
}

function throwDarts(
  { room, board, density, random, stop }: Filling,
  left: () => number,
  leftIn: (tile: number) => number,
  limited: boolean,
): void {
  while (left() > 0) {
    const pick = picker(density, limited ? leftIn : null);
    if (!pick) return;
    const before = left();
    const darts = LEAST_DARTS + DARTS_PER_HOLE * before;
    for (let dart = 0; dart < darts && left() > 0; dart++) {
      stop();
      const cell = pick(random);
      const x = density.minX[cell]! + random.below(density.width[cell]! + 1);
      const y = density.minY[cell]! + random.below(density.height[cell]! + 1);
      const tile = room.tileAt(x, y);
      if (tile >= 0 && leftIn(tile) > 0 && !board.blocked(x, y)) board.add(x, y, tile, FILLER);
    }
    if ((before - left()) * POOREST < darts) return;
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
