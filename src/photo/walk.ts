import type { Tile } from "../ceiling/types.ts";

/** Tiles in the order somebody with a ladder takes them: along one row, back along the next. */
export function walkingOrder(tiles: readonly Tile[]): Tile[] {
  return [...tiles].sort(
    (a, b) =>
      a.row - b.row ||
      (a.row % 2 === 0 ? a.column - b.column : b.column - a.column) ||
      (a.name < b.name ? -1 : 1),
  );
}
