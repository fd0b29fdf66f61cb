import { Capacity } from "./capacity.ts";
import { servable } from "./model.ts";
import { noShares, holeCostMm, type Problem, type Shares, type TileNeed } from "./problem.ts";

/** Passes of moving and swapping; each only ever shortens the strands. */
const MOST_PASSES = 20;

/**
 * A good sharing-out by hand rules, without a solver: tiles that would lose most by not getting their
 * nearest engine choose first; what fits nowhere whole is split; then tiles move or swap while that saves.
 */
export function handAllot(problem: Problem): Shares {
  const { tiles, supplies } = problem;
  const shares = noShares(problem);
  const capacity = new Capacity(problem);
  const owner = new Int32Array(tiles.length).fill(-1);
  const costs = tiles.map((tile) => supplies.map((_, e) => wholeCost(tile, e)));
  const nearest = costs.map((own) => own.map((_, e) => e).sort((p, q) => own[p]! - own[q]! || p - q));
  const regret = (t: number): number => {
    const [first, second] = nearest[t]!.map((e) => costs[t]![e]!);
    if (first === undefined || first === Infinity) return -1;
    return second === undefined || second === Infinity ? Infinity : second - first;
  };
  const order = tiles.map((_, t) => t).sort((p, q) => compare(regret(q), regret(p)) || p - q);
  const leftOver: number[] = [];
  for (const t of order) {
    const e = nearest[t]!.find(
      (engine) => costs[t]![engine]! < Infinity && capacity.takes(tiles[t]!, engine),
    );
    if (e === undefined) leftOver.push(t);
    else {
      capacity.add(tiles[t]!, e, 1);
      owner[t] = e;
    }
  }
  improve(problem, costs, owner, capacity);
  owner.forEach((e, t) => {
    if (e >= 0) for (const g of servable(tiles[t]!)) shares[t]![g]![e] = tiles[t]!.groups[g]!.members.length;
  });
  for (const t of leftOver) split(tiles[t]!, shares[t]!, nearest[t]!, capacity);
  return shares;
}

const compare = (a: number, b: number): number => (a === b ? 0 : a < b ? -1 : 1);

/** Strand for the whole tile; Infinity where the engine can't serve some of it. */
function wholeCost(tile: TileNeed, e: number): number {
  if (tile.fixed >= 0 && tile.fixed !== e) return Infinity;
  let sum = 0;
  for (const g of servable(tile)) {
    const group = tile.groups[g]!;
    if (group.classes[e]! < 0) return Infinity;
    sum += group.members.length * holeCostMm(tile, group, e);
  }
  return sum;
}

function improve(
  { tiles, supplies }: Problem,
  costs: number[][],
  owner: Int32Array,
  capacity: Capacity,
): void {
  for (let pass = 0; pass < MOST_PASSES; pass++) {
    let better = false;
    for (let t = 0; t < tiles.length; t++) {
      const from = owner[t]!;
      if (from < 0) continue;
      capacity.add(tiles[t]!, from, -1);
      let best = from;
      for (let e = 0; e < supplies.length; e++)
        if (costs[t]![e]! < costs[t]![best]! && capacity.takes(tiles[t]!, e)) best = e;
      capacity.add(tiles[t]!, best, 1);
      if (best !== from) better = true;
      owner[t] = best;
    }
    for (let s = 0; s < tiles.length; s++)
      for (let t = s + 1; t < tiles.length; t++) {
        const [e, f] = [owner[s]!, owner[t]!];
        if (e < 0 || f < 0 || e === f) continue;
        if (!(costs[s]![f]! + costs[t]![e]! < costs[s]![e]! + costs[t]![f]!)) continue;
        capacity.add(tiles[s]!, e, -1);
        capacity.add(tiles[t]!, f, -1);
        const fits = capacity.takes(tiles[s]!, f) && capacity.takes(tiles[t]!, e);
        capacity.add(tiles[s]!, fits ? f : e, 1);
        capacity.add(tiles[t]!, fits ? e : f, 1);
        if (!fits) continue;
        [owner[s], owner[t]] = [f, e];
        better = true;
      }
    if (!better) return;
  }
}

/** As much of each group as fits, nearest engine first. */
function split(tile: TileNeed, shares: number[][], engines: number[], capacity: Capacity): void {
  for (const g of servable(tile)) {
    const group = tile.groups[g]!;
    let left = group.members.length;
    for (const e of engines) {
      if (group.classes[e]! < 0 || (tile.fixed >= 0 && tile.fixed !== e)) continue;
      const count = Math.min(left, capacity.most(group, e));
      capacity.addHoles(group, e, count);
      shares[g]![e]! += count;
      left -= count;
    }
  }
}
