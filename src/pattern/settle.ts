import { Fate } from "./fate.ts";
import { improve } from "./improve.ts";
import { rescue } from "./rescue.ts";
import type { Settlement } from "./settlement.ts";

/** Settling and improving are repeated while rescued stars change the picture, at most this often. */
const MAX_ROUNDS = 12;

/**
 * Settles as many objects as wanted, those of constellations that matter and then the others, brightest first, and then
 * lowers the sum of weighted moves.
 */
export function settle(s: Settlement): void {
  for (const i of s.mattering) if (s.placed < s.input.want && s.fate[i] === Fate.untouched) consider(s, i);
  settleRest(s);
  // one fainter than the limit of brightness shines like others beyond it
  for (const i of s.mattering) if (i >= s.cursor && s.fate[i] === Fate.placed) s.deeper[i] = 1;
}

function settleRest(s: Settlement): void {
  for (let round = 0; round < MAX_ROUNDS; round++) {
    advance(s);
    improve(s);
    if (!rescue(s)) return;
  }
}

/** Goes on down the list until the strands are used or the list ends. */
function advance(s: Settlement): void {
  const { usable, want, board, quota, stop } = s.input;
  let free = quota ? quota.reduce((sum, q, t) => sum + Math.max(0, q - board.perTile[t]!), 0) : Infinity;
  for (; s.cursor < usable && s.placed < want && free > 0; s.cursor++) {
    stop();
    const fate = s.fate[s.cursor];
    if (fate !== Fate.placed && fate !== Fate.omitted && fate !== Fate.issued && consider(s, s.cursor))
      free--;
  }
}

function consider(s: Settlement, i: number): boolean {
  if (s.joinsBrighter(i)) return false;
  if (s.givesAirTo(i) >= 0) {
    s.fate[i] = Fate.air;
    return false;
  }
  const { x, y } = s.aimOf(i);
  const home = s.input.room.tileAt(x, y);
  const full = home >= 0 && !s.open(home);
  const spot = full ? null : s.nearest(i);
  if (spot && s.open(spot.tile)) {
    s.settleAt(i, spot);
    return true;
  }
  s.fate[i] = spot || full ? Fate.tileFull : Fate.noSpot;
  return false;
}
