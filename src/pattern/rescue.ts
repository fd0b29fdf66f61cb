import { Fate } from "./fate.ts";
import { neighbours } from "./improve.ts";
import type { Settlement } from "./settlement.ts";
import type { Spot } from "./spot.ts";

/**
 * Tries again for the objects given up: moves may have freed a spot, and a figure-making or bright one may
 * push or displace a lighter neighbour. The faintest pays with its strand. True when anything changed.
 */
export function rescue(s: Settlement): boolean {
  let changed = false;
  for (let i = 0; i < s.cursor; i++) {
    s.input.stop();
    if (s.fate[i] === Fate.merged && s.fate[s.joined[i]!] === Fate.placed) continue;
    if (s.fate[i] !== Fate.noSpot && s.fate[i] !== Fate.merged) continue;
    if (rescueOne(s, i)) changed = true;
  }
  return changed;
}

function rescueOne(s: Settlement, i: number): boolean {
  const { want, objects } = s.input;
  if (s.joinsBrighter(i)) return false;
  s.fate[i] = s.givesAirTo(i) >= 0 ? Fate.air : Fate.noSpot;
  if (s.fate[i] === Fate.air) return false;
  const payer = s.placed >= want ? faintestAfter(s, i) : -1;
  if (s.placed >= want && payer < 0) return false;
  let spot = s.nearest(i, s.open);
  if (!spot && objects.prominent[i]) spot = makeRoom(s, i);
  if (!spot) return false;
  s.settleAt(i, spot);
  if (s.placed > want && s.fate[payer] === Fate.placed) {
    s.giveUp(payer, Fate.untouched);
    s.cursor = payer;
  }
  return true;
}

/** The faintest movable placed object after i, or -1. */
function faintestAfter(s: Settlement, i: number): number {
  for (let j = s.cursor - 1; j > i; j--) if (s.movable(j)) return j;
  return -1;
}

/**
 * Makes room for an object that found none: moves one neighbour on to its own nearest free spot, the pair of
 * least weighted moves; where that can't be, gives up the lightest neighbour that weighs less. Returns the
 * spot now free, or null with nothing changed.
 */
function makeRoom(s: Settlement, i: number): Spot | null {
  const { board, objects } = s.input;
  let best: { neighbour: number; spot: Spot; next: Spot; cost: number } | null = null;
  let lightest: { neighbour: number; spot: Spot } | null = null;
  for (const b of neighbours(s, i, s.rangeOf(i) + board.spacingUm)) {
    s.input.stop();
    const hole = s.holeOf[b]!;
    const from = { x: board.x[hole]!, y: board.y[hole]!, tile: board.tile[hole]! };
    const moved = s.strayOf(b);
    board.lift(hole);
    const spot = s.nearest(i, s.open);
    if (spot) {
      const guest = board.add(spot.x, spot.y, spot.tile, i);
      const next = s.nearest(b, s.open);
      board.lift(guest);
      if (next) {
        const cost = spot.movedUm * objects.weight[i]! + (next.movedUm - moved) * objects.weight[b]!;
        if (!best || cost < best.cost) best = { neighbour: b, spot, next, cost };
      } else if (objects.weight[b]! < objects.weight[i]!) {
        const lighter = !lightest || objects.weight[b]! <= objects.weight[lightest.neighbour]!;
        if (lighter) lightest = { neighbour: b, spot };
      }
    }
    board.put(hole, from.x, from.y, from.tile);
  }
  if (best) {
    const hole = s.holeOf[best.neighbour]!;
    board.lift(hole);
    board.put(hole, best.next.x, best.next.y, best.next.tile);
    return best.spot;
  }
  if (!lightest) return null;
  s.giveUp(lightest.neighbour, Fate.noSpot);
  return lightest.spot;
}
