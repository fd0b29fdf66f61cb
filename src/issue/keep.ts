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
  const instead = issued.flatMap((tile) => insteadOf(tile, afresh.holes) ?? []);
  const others = afresh.holes.filter(({ tile }) => !tiles.has(tile));
  if (instead.length > 0 || issued.some(({ exchanged }) => exchanged)) {
    const standing = { holes, tiles, most: countStrands(others) };
    return { pattern: makePattern({ ...input, standing }), instead };
  }
  return { pattern: { ...afresh, holes: amongStanding(others, holes, input.ceiling) }, instead };
}

function insteadOf(tile: IssuedTile, holes: readonly Hole[]): Instead | null {
  const now = new Map(holes.filter((hole) => hole.tile === tile.tile).map((hole) => [placeOf(hole), hole]));
  let moved = 0;
  let restrung = 0;
  for (const { hole } of tile.holes) {
    const same = now.get(placeOf(hole));
    if (!same) moved++;
    else if (!tile.exchanged && strungWords(same) !== strungWords(hole)) restrung++;
    now.delete(placeOf(hole));
  }
  const more = Math.max(0, now.size - moved);
  return moved + restrung + more === 0 ? null : { tile: tile.tile, moved, restrung, more };
}

const placeOf = ({ xMm, yMm }: Hole): string => `${xMm} ${yMm}`;
