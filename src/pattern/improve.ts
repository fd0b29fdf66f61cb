import type { Settlement } from "./settlement.ts";
import { distanceToUsable, type Spot } from "./spot.ts";

/** A change must lower the sum of weighted moves (weight x micrometres) by more than this. */
export const LEAST_GAIN = 1;
/** A move this near to the shortest thinkable one is left alone: rounding to whole micrometres. */
const ROUNDING_UM = 3;

/**
 * Neighbours looked at (`Board.looks`) before improving ends as it stands. Sensible jobs need a hundredth of it;
 * it is part of what a plan is, so that the same job gives the same holes everywhere.
 */
const MOST_LOOKS = 30_000_000;

/**
 * Lowers the sum of weighted moves (each from where the object aims at) until neither re-placing one object nor exchanging two lowers it further
 * (to within LEAST_GAIN). An exchange lifts two holes, gives the first its nearest free spot and then the
 * second, or swaps their holes. Nobody is given up, no fixed hole is touched, no quota is broken.
 */
export function improve(s: Settlement): void {
  const shortest = new Map<number, number>();
  for (let changed = true; changed;) {
    changed = false;
    for (const a of movedObjects(s)) {
      s.input.stop();
      if (s.input.board.looks > MOST_LOOKS) return;
      const moved = s.strayOf(a);
      if (!shortest.has(a)) shortest.set(a, leastMove(s, a));
      if (moved <= shortest.get(a)! + ROUNDING_UM) continue;
      if (replace(s, a, moved) || exchange(s, a, moved)) changed = true;
    }
  }
}

/** Objects that don't stand where they aim at, heaviest first. */
function movedObjects(s: Settlement): number[] {
  const { objects } = s.input;
  const moved: number[] = [];
  for (let i = 0; i < objects.count; i++) if (s.movable(i) && s.strayOf(i) > 0) moved.push(i);
  return moved.sort((p, q) => objects.weight[q]! - objects.weight[p]! || p - q);
}

function leastMove(s: Settlement, a: number): number {
  const { x, y } = s.aimOf(a);
  return distanceToUsable(s.input.room, x, y, s.rangeOf(a));
}

function replace(s: Settlement, a: number, moved: number): boolean {
  const { board, objects } = s.input;
  const hole = s.holeOf[a]!;
  const before = { x: board.x[hole]!, y: board.y[hole]!, tile: board.tile[hole]! };
  board.lift(hole);
  const spot = s.nearest(a, s.open, moved);
  const better = spot !== null && (spot.movedUm - moved) * objects.weight[a]! < -LEAST_GAIN;
  const to = better ? spot : before;
  board.put(hole, to.x, to.y, to.tile);
  return better;
}

/** Neighbours that may stand in an object's way: placed, movable, with a hole within r of where it aims at. */
export function neighbours(s: Settlement, a: number, r: number): number[] {
  const { board } = s.input;
  const { x, y } = s.aimOf(a);
  return board
    .within(x, y, r)
    .map((id) => board.object[id]!)
    .filter((b) => b >= 0 && b !== a && s.movable(b))
    .sort((p, q) => p - q);
}

function exchange(s: Settlement, a: number, moved: number): boolean {
  const { board, objects } = s.input;
  const weightA = objects.weight[a]!;
  const holeA = s.holeOf[a]!;
  for (const b of neighbours(s, a, moved + board.spacingUm)) {
    s.input.stop();
    if (board.looks > MOST_LOOKS) return false;
    const weightB = objects.weight[b]!;
    const holeB = s.holeOf[b]!;
    const movedB = s.strayOf(b);
    const fromA = { x: board.x[holeA]!, y: board.y[holeA]!, tile: board.tile[holeA]! };
    const fromB = { x: board.x[holeB]!, y: board.y[holeB]!, tile: board.tile[holeB]! };
    const gain = (spotA: Spot, spotB: Spot) =>
      (moved - spotA.movedUm) * weightA + (movedB - spotB.movedUm) * weightB;

    let best: [Spot, Spot] | null = null;
    let bestGain = LEAST_GAIN;
    const swapA = at(s, a, fromB);
    const swapB = at(s, b, fromA);
    if (s.reaches(a, swapA) && s.reaches(b, swapB) && gain(swapA, swapB) > bestGain) {
      best = [swapA, swapB];
      bestGain = gain(swapA, swapB);
    }
    board.lift(holeA);
    board.lift(holeB);
    const nextA = s.nearest(a, s.open, moved);
    if (nextA && (moved - nextA.movedUm) * weightA + movedB * weightB > bestGain) {
      board.put(holeA, nextA.x, nextA.y, nextA.tile);
      const nextB = s.nearest(b, s.open);
      if (nextB && gain(nextA, nextB) > bestGain) best = [nextA, nextB];
      board.lift(holeA);
    }
    const [toA, toB] = best ?? [fromA, fromB];
    board.put(holeA, toA.x, toA.y, toA.tile);
    board.put(holeB, toB.x, toB.y, toB.tile);
    if (best) return true;
  }
  return false;
}

/** A known place as the spot of an object. */
function at(s: Settlement, i: number, place: { x: number; y: number; tile: number }): Spot {
  return { ...place, movedUm: s.strayAt(i, place) };
}
