import type { Hole } from "../pattern/types.ts";
import type { BundlesSection } from "../job/sections/bundles.ts";
import type { Lengths } from "./lengths.ts";
import type { Problem, Shares } from "./problem.ts";
import { placesAtPort } from "./twinkle.ts";
import type { Supply } from "./supply.ts";
import type { Strand } from "./types.ts";
import { FACTS } from "../trade/facts.ts";

/** Attenuation of a strand: 4 dB are exactly one magnitude. */
export const lossMag = (lengthM: number, lossDbPerM: number): number =>
  Math.round((lengthM * lossDbPerM * 1000) / FACTS.dbPerMag.value) / 1000;

/** The strands of every lit hole with their engine, in the order of the holes. */
export function strandsOf(
  problem: Problem,
  shares: Shares,
  lengths: Lengths,
  { section, seed, lossDbPerM }: { section: BundlesSection; seed: number; lossDbPerM: number },
): Strand[] {
  const strands: Strand[] = [];
  problem.supplies.forEach((supply, e) => {
    const byTile = problem.tiles.map((tile, t) => {
      const part = lengths.tiles[t]!;
      return tile.groups.flatMap((group, g) =>
        membersFor(part.holes, group.members, shares[t]![g]!, e, lengths).map((i) => ({
          hole: part.holes[i]!,
          needMm: tile.baseMm[e]! + part.fansMm[i]!,
        })),
      );
    });
    const own = byTile.flat();
    const lengthsOf = pickItems(supply, own);
    const places = placesAtPort(
      byTile.map((some) => some.map(({ hole }) => hole)),
      { letter: supply.engine.letter, index: e },
      section.twinkle,
      seed,
    );
    for (const { hole, needMm } of own)
      for (const lengthMm of lengthsOf.get(hole.id)!)
        strands.push({
          hole: hole.id,
          tile: hole.tile,
          engine: supply.engine.letter,
          diameterMm: hole.diameterMm,
          lengthM: lengthMm / 1000,
          needM: needMm / 1000,
          lossMag: lossMag(lengthMm / 1000, lossDbPerM),
          ...places.get(hole.id)!,
        });
  });
  return strands.sort((a, b) => a.hole - b.hole);
}

/**
 * Which of a group's holes an engine gets, where several share it: holes lie in a row from the first engine
 * towards the last, so that each engine's lie together. Where strands are short, the faintest stay dark.
 */
function membersFor(
  holes: Hole[],
  members: number[],
  counts: number[],
  e: number,
  lengths: Lengths,
): number[] {
  const count = counts[e]!;
  if (count === 0) return [];
  if (count === members.length) return members;
  const sharing = counts.flatMap((n, engine) => (n > 0 ? [engine] : []));
  const lit = counts.reduce((sum, n) => sum + n, 0);
  const brightestFirst = [...members].sort(
    (p, q) => (holes[p]!.magnitude ?? Infinity) - (holes[q]!.magnitude ?? Infinity) || p - q || 0,
  );
  const [from, to] = [lengths.engines[sharing[0]!]!.atMm, lengths.engines[sharing.at(-1)!]!.atMm];
  const along = (i: number) =>
    (holes[i]!.xMm - from[0]) * (to[0] - from[0]) + (holes[i]!.yMm - from[1]) * (to[1] - from[1]);
  const inRow = brightestFirst.slice(0, lit).sort((p, q) => along(p) - along(q) || p - q);
  const start = counts.slice(0, e).reduce((sum, n) => sum + n, 0);
  return inRow.slice(start, start + count);
}

/**
 * Lengths of the strands of each hole. Taken longest need first, each time the shortest item that will do and is left:
 * whatever fits at all fits so. Then dealt out again in order, short ones to short needs, so that little
 * is left to coil and the strands of a tile are alike.
 */
function pickItems(supply: Supply, own: { hole: Hole; needMm: number }[]): Map<number, number[]> {
  const picked = new Map<number, number[]>(own.map(({ hole }) => [hole.id, []]));
  for (const [diameterMm, items] of supply.items) {
    const needs = own
      .filter(({ hole }) => hole.diameterMm === diameterMm)
      .flatMap((one) => new Array<typeof one>(one.hole.strands).fill(one))
      .sort((a, b) => b.needMm - a.needMm || a.hole.id - b.hole.id);
    const left = items.map((item) => ({ ...item }));
    const taken = needs.map(({ hole, needMm }) => {
      const item = left.find(({ lengthMm, count }) => lengthMm >= needMm && count > 0);
      if (!item) throw new RangeError(`no strand of ${diameterMm} mm is left for hole ${hole.id}`);
      item.count--;
      return item.lengthMm;
    });
    taken.sort((a, b) => b - a);
    needs.forEach(({ hole }, i) => picked.get(hole.id)!.push(taken[i]!));
  }
  return picked;
}
