import type { Room } from "./room.ts";

/**
 * How many holes each tile may get, by index in Room.tiles: `evenness` 0 gives the natural counts of the true
 * sky, 1 as many in every tile as far as tiles can hold them, between them mixed. The total is conserved; a
 * tile never gets fewer than the holes `fixed` in it by hand.
 */
export function tileQuotas(
  room: Room,
  natural: Int32Array,
  fixed: Int32Array,
  evenness: number,
  spacingUm: number,
): Int32Array {
  const total = natural.reduce((sum, n) => sum + n, 0);
  const most = room.tiles.map(({ tile }, t) =>
    Math.max(fixed[t]!, natural[t]!, holds(tile.usableMm2, spacingUm)),
  );
  const equal = equalCounts(total, fixed, most, natural);
  return largestRemainders(
    equal.map((e, t) => (1 - evenness) * natural[t]! + evenness * e),
    total,
  );
}

/** Holes that surely fit in an area at a spacing: those of a square lattice, never none. */
function holds(usableMm2: number, spacingUm: number): number {
  return Math.max(1, Math.floor((usableMm2 * 1e6) / (spacingUm * spacingUm)));
}

/** As equal as can be between least and most; where one over is left, tiles with more natural holes get it. */
function equalCounts(total: number, least: Int32Array, most: number[], natural: Int32Array): number[] {
  const at = (level: number) => most.map((m, t) => Math.min(m, Math.max(least[t]!, level)));
  const sum = (counts: number[]) => counts.reduce((s, n) => s + n, 0);
  let low = 0;
  let high = total;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (sum(at(middle)) <= total) low = middle;
    else high = middle - 1;
  }
  const counts = at(low);
  const more = at(low + 1);
  let left = total - sum(counts);
  const order = counts.map((_, t) => t).sort((p, q) => natural[q]! - natural[p]! || p - q);
  for (const t of order)
    if (left > 0 && more[t]! > counts[t]!) {
      counts[t]!++;
      left--;
    }
  return counts;
}

/** Whole numbers with the given total, each the floor of its share or one more, by largest remainders. */
export function largestRemainders(shares: number[], total: number): Int32Array {
  const counts = Int32Array.from(shares, (s) => Math.floor(s));
  let left = total - counts.reduce((sum, n) => sum + n, 0);
  const order = shares
    .map((s, t) => ({ t, rest: s - counts[t]! }))
    .sort((p, q) => q.rest - p.rest || p.t - q.t);
  for (let k = 0; left > 0; k = (k + 1) % order.length, left--) counts[order[k]!.t]!++;
  return counts;
}
