import type { Tile } from "../ceiling/types.ts";

/** Holes within one such band of a tile, counted from its upper edge, are numbered from left to right. */
export const NUMBERING_BAND_UM = 50_000;

/**
 * The order in which holes are numbered: tiles by row from the top and column from the left; within a tile
 * band by band from the top, left to right as seen from above. Returns indexes into the columns given.
 */
export function numberingOrder(x: number[], y: number[], tile: Tile[]): number[] {
  const band = x.map((_, i) => Math.floor((tile[i]!.box.maxY - y[i]!) / NUMBERING_BAND_UM));
  return x
    .map((_, i) => i)
    .sort(
      (p, q) =>
        tile[p]!.row - tile[q]!.row ||
        tile[p]!.column - tile[q]!.column ||
        byName(tile[p]!.name, tile[q]!.name) ||
        band[p]! - band[q]! ||
        x[p]! - x[q]! ||
        y[q]! - y[p]!,
    );
}

const byName = (p: string, q: string): number => (p < q ? -1 : p > q ? 1 : 0);
