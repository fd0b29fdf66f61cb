import { Fate } from "./fate.ts";
import { neighbours } from "./improve.ts";
import type { Settlement } from "./settle.ts";
import type { Spot } from "./spot.ts";

/**
 * Makes room for an object that found none: moves one neighbour on to its own nearest free spot, the pair of
 * least weighted moves; where that can't be, gives up the lightest neighbour that weighs less. Returns the
 * spot now free, or null with nothing changed.
 */
export function makeRoom(s: Settlement, i: number): Spot | null {
  const { board, objects } = s.input;
  let best: { neighbour: number; spot: Spot; next: Spot; cost: number } | null = null;
  let lightest: { neighbour: number; spot: Spot } | null = null;
  for (const b of neighbours(s, i, s.reachOf(i) + board.spacingUm)) {
    const hole = s.holeOf[b]!;
    const from = { x: board.x[hole]!, y: board.y[hole]!, tile: board.tile[hole]! };
    const moved = s.moveOf(b);
    board.lift(hole);
    const spot = s.nearest(i, s.reachOf(i), s.open);
    if (spot) {
      const guest = board.add(spot.x, spot.y, spot.tile, i);
      const next = s.nearest(b, s.reachOf(b), s.open);
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
