import type { Settlement } from "./settle.ts";
import { distanceToUsable, type Spot } from "./spot.ts";

/** A change must lower the sum of weighted moves (weight x micrometres) by more than this. */
export const LEAST_GAIN = 1;
/** A move this near to the shortest thinkable one is left alone: rounding to whole micrometres. */
const ROUNDING_UM = 3;

/**
 * Lowers the sum of weighted moves until neither re-placing one object nor exchanging two lowers it further
 * (to within LEAST_GAIN). An exchange lifts two holes, gives the first its nearest free spot and then the
 * second, or swaps their holes. Nobody is given up, no fixed hole is touched, no quota is broken.
 */
export function improve(s: Settlement): void {
  const shortest = new Map<number, number>();
  for (let changed = true; changed;) {
    changed = false;
    for (const a of movedObjects(s)) {
      const moved = s.moveOf(a);
      if (!shortest.has(a)) shortest.set(a, leastMove(s, a));
      if (moved <= shortest.get(a)! + ROUNDING_UM) continue;
      if (replace(s, a, moved) || exchange(s, a, moved)) changed = true;
    }
  }
}

/** Objects not where the sky puts them, heaviest first. */
function movedObjects(s: Settlement): number[] {
  const { objects } = s.input;
  const moved: number[] = [];
  for (let i = 0; i < objects.count; i++) if (s.movable(i) && s.moveOf(i) > 0) moved.push(i);
  return moved.sort((p, q) => objects.weight[q]! - objects.weight[p]! || p - q);
}

function leastMove(s: Settlement, a: number): number {
  const { room, objects } = s.input;
  return distanceToUsable(room, objects.x[a]!, objects.y[a]!, s.reachOf(a));
}

function replace(s: Settlement, a: number, moved: number): boolean {
  const { board, objects } = s.input;
  const hole = s.holeOf[a]!;
  const before = { x: board.x[hole]!, y: board.y[hole]!, tile: board.tile[hole]! };
  board.lift(hole);
  const spot = s.nearest(a, moved, s.open);
  const better = spot !== null && (spot.movedUm - moved) * objects.weight[a]! < -LEAST_GAIN;
  const to = better ? spot : before;
  board.put(hole, to.x, to.y, to.tile);
  return better;
}

/** Neighbours that may stand in an object's way: placed, movable, with a hole within r of its true place. */
export function neighbours(s: Settlement, a: number, r: number): number[] {
  const { board, objects } = s.input;
  return board
    .within(objects.x[a]!, objects.y[a]!, r)
    .map((id) => board.object[id]!)
    .filter((b) => b >= 0 && b !== a && s.movable(b))
    .sort((p, q) => p - q);
}

function exchange(s: Settlement, a: number, moved: number): boolean {
  const { board, objects } = s.input;
  const weightA = objects.weight[a]!;
  const holeA = s.holeOf[a]!;
  for (const b of neighbours(s, a, moved + board.spacingUm)) {
    const weightB = objects.weight[b]!;
    const holeB = s.holeOf[b]!;
    const movedB = s.moveOf(b);
    const fromA = { x: board.x[holeA]!, y: board.y[holeA]!, tile: board.tile[holeA]! };
    const fromB = { x: board.x[holeB]!, y: board.y[holeB]!, tile: board.tile[holeB]! };
    const gain = (spotA: Spot, spotB: Spot) =>
      (moved - spotA.movedUm) * weightA + (movedB - spotB.movedUm) * weightB;

    let best: [Spot, Spot] | null = null;
    let bestGain = LEAST_GAIN;
    const swapA = at(s, a, fromB);
    const swapB = at(s, b, fromA);
    if (swapA.movedUm <= s.reachOf(a) && swapB.movedUm <= s.reachOf(b) && gain(swapA, swapB) > bestGain) {
      best = [swapA, swapB];
      bestGain = gain(swapA, swapB);
    }
    board.lift(holeA);
    board.lift(holeB);
    const nextA = s.nearest(a, moved, s.open);
    if (nextA && (moved - nextA.movedUm) * weightA + movedB * weightB > bestGain) {
      board.put(holeA, nextA.x, nextA.y, nextA.tile);
      const nextB = s.nearest(b, s.reachOf(b), s.open);
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
  const dx = place.x - s.input.objects.x[i]!;
  const dy = place.y - s.input.objects.y[i]!;
  return { ...place, movedUm: Math.sqrt(dx * dx + dy * dy) };
}
