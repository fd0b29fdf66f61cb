import type { Tile } from "../../ceiling/types.ts";
import type { TileBox } from "./marked.ts";

/** Tiles as four corners on the plan, in mm, to be drawn where a picture shows them. */
export const tileBoxes = (tiles: readonly Tile[]): TileBox[] =>
  tiles.map(({ name, box }) => {
    const [x0, y0, x1, y1] = [box.minX / 1000, box.minY / 1000, box.maxX / 1000, box.maxY / 1000];
    return {
      name,
      corners: [
        [x0, y1],
        [x1, y1],
        [x1, y0],
        [x0, y0],
      ],
    };
  });
