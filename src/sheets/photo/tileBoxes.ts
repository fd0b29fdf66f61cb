import type { Tile } from "../../ceiling/types.ts";
import type { TileBox } from "./marked.ts";
import { toMm } from "../../geometry/um.ts";

/** Tiles as four corners on the plan, in mm, to be drawn where a picture shows them. */
export const tileBoxes = (tiles: readonly Tile[]): TileBox[] =>
  tiles.map(({ name, box }) => {
    const [x0, y0, x1, y1] = [toMm(box.minX), toMm(box.minY), toMm(box.maxX), toMm(box.maxY)];
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
