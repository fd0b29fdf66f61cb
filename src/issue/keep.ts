import { makePattern, type PatternInput } from "../pattern/pattern.ts";
import { countStrands, strungWords } from "../pattern/packing.ts";
import { amongStanding } from "../pattern/standing.ts";
import type { Hole, Pattern } from "../pattern/types.ts";
import type { IssuedTile } from "./packed.ts";

/** What the job as it is now would have made of an issued tile instead. */
export interface Instead {
  tile: string;
  /** Holes that would lie elsewhere, or not be there at all. */
  moved: number;
  /** Holes that stay where they are and would have other strands. */
  restrung: number;
  /** Holes that would be there as well. */
  more: number;
}

export interface KeptPattern {
  pattern: Pattern;
  /** Issued tiles that would be otherwise now, in their order; they are as they were issued all the same. */
  instead: Instead[];
}

/**
 * The pattern in which issued tiles are what was issued. First as if nothing were: where that gives the same tiles, all
 * else is as it was before the issue. Otherwise the rest is settled anew round what stands.
 * Strands exchanged for length differ from those of the pattern anyhow, so that what is left has to be reckoned again.
 */
export function keepIssued(input: PatternInput, issued: readonly IssuedTile[]): KeptPattern {
  const afresh = makePattern(input);
  if (issued.length === 0) return { pattern: afresh, instead: [] };
  const holes = issued.flatMap((tile) => tile.holes.map(({ hole }) => hole));
  const tiles = new Set(issued.map(({ tile }) => tile));
  const instead = issued.flatMap(({ tile, holes: own, exchanged }) => {
    const before = own.map(({ hole }) => hole);
    return insteadOf(tile, before, afresh.holes, exchanged) ?? [];
  });
  const others = afresh.holes.filter(({ tile }) => !tiles.has(tile));
  if (instead.length > 0 || issued.some(({ exchanged }) => exchanged)) {
    const standing = { holes, tiles, most: countStrands(others) };
    return { pattern: makePattern({ ...input, standing }), instead };
  }
  return { pattern: { ...afresh, holes: amongStanding(others, holes, input.ceiling) }, instead };
}

/** What one tile would be instead of the holes it has: null where it would be the same. */
export function insteadOf(
  tile: string,
  before: readonly Hole[],
  after: readonly Hole[],
  exchanged = false,
): Instead | null {
  const now = new Map(after.filter((hole) => hole.tile === tile).map((hole) => [placeOf(hole), hole]));
  let moved = 0;
  let restrung = 0;
  for (const hole of before) {
    const same = now.get(placeOf(hole));
    if (!same) moved++;
    else if (!exchanged && strungWords(same) !== strungWords(hole)) restrung++;
    now.delete(placeOf(hole));
  }
  const more = Math.max(0, now.size - moved);
  return moved + restrung + more === 0 ? null : { tile, moved, restrung, more };
}

const placeOf = ({ xMm, yMm }: Hole): string => `${xMm} ${yMm}`;
