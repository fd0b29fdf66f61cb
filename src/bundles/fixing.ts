import type { Bundles } from "./types.ts";

/** What it costs that a person chose engines for some tiles; below 0 it saves. */
export interface FixingCost {
  /** Strand more (below 0 only within the gaps, or where the free way lights more). */
  strandM: number;
  /** Holes left dark by the choice. */
  dark: number;
  /** Tiles split by the choice. */
  splits: number;
  /** Borders between tiles of different engines. */
  borders: number;
}

/** Holds a sharing-out with tiles fixed against the same left free. */
export function costOfFixing(fixed: Bundles, free: Bundles): FixingCost {
  return {
    strandM: Math.round((fixed.allotment.strandM - free.allotment.strandM) * 1000) / 1000,
    dark: fixed.unlit.length - free.unlit.length,
    splits: fixed.allotment.splitTiles.length - free.allotment.splitTiles.length,
    borders: fixed.allotment.borders - free.allotment.borders,
  };
}
