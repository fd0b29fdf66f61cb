import { Capacity } from "./capacity.ts";
import { servable } from "./model.ts";
import { noShares, type Problem, type Shares } from "./problem.ts";

/**
 * A sharing-out by brightness alone: hole after hole, most light first, each to the nearest engine that has room and
 * the strands, where need be after something admitted before has moved to another engine. Whoever finds no place
 * so stays dark, for those that did are all brighter.
 */
export function shareBrightestFirst(problem: Problem): Shares {
  const { tiles, supplies } = problem;
  const shares = noShares(problem);
  const capacity = new Capacity(problem);
  const groups = tiles.flatMap((tile, t) =>
    servable(tile).map((g) => {
      const group = tile.groups[g]!;
      const engines = supplies
        .map((_, e) => e)
        .filter((e) => group.classes[e]! >= 0 && (tile.fixed < 0 || tile.fixed === e))
        .sort((p, q) => tile.baseMm[p]! - tile.baseMm[q]! || p - q);
      return { group, engines, counts: shares[t]![g]!, full: false };
    }),
  );
  type Own = (typeof groups)[number];
  const give = (own: Own, e: number, holes: number) => {
    capacity.addHoles(own.group, e, holes);
    own.counts[e]! += holes;
  };
  /** Moves what stands in the way at engine e elsewhere; takes it back where that is not enough. */
  const clearAt = (own: Own, e: number): boolean => {
    const moved: { other: Own; to: number }[] = [];
    for (const other of groups)
      for (const to of other.engines)
        while (to !== e && other.counts[e]! > 0 && capacity.most(other.group, to) > 0) {
          if (capacity.most(own.group, e) > 0) return true;
          give(other, e, -1);
          give(other, to, 1);
          moved.push({ other, to });
        }
    if (capacity.most(own.group, e) > 0) return true;
    for (const { other, to } of moved.reverse()) {
      give(other, to, -1);
      give(other, e, 1);
    }
    return false;
  };
  const order = groups
    .flatMap((own) => own.group.ranks.map((rank) => ({ own, rank })))
    .sort((p, q) => p.rank - q.rank);
  for (const { own } of order) {
    if (own.full) continue;
    const e =
      own.engines.find((engine) => capacity.most(own.group, engine) > 0) ??
      own.engines.find((engine) => clearAt(own, engine));
    if (e === undefined) own.full = true;
    else give(own, e, 1);
  }
  return shares;
}
