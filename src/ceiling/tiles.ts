import {
  areaMm2,
  boxArea,
  boxesTouch,
  boxOf,
  containsPoint,
  forEachEdge,
  intersect,
  isBox,
  pieces,
  ROUNDING_UM,
  shrink,
  shrinkBox,
  subtract,
} from "../geometry/area.ts";
import { toUm } from "../geometry/um.ts";
import type { Area, BoxUm } from "../geometry/types.ts";
import { strips, type Strip } from "./grid.ts";
import { FACTS } from "../trade/facts.ts";
import { tileName } from "./names.ts";
import type { Ceiling, Grid, Tile } from "./types.ts";

/** A tile thinner than this is nothing but edge under tee and wall angle, and isn't made. Common practice, no source. */
export const SLIVER_MM = 40;

type UseOf = (name: string) => { use: Tile["use"]; why: string } | undefined;

/** A tile before it has a name and a use. */
interface Cut {
  outline: Area;
  cut: boolean;
}

/**
 * Cuts the outline into tiles: each module cell less half the slack all round, at tees and at walls.
 * Pieces thinner than SLIVER_MM come back apart. Rows run from the top, columns from the left; both count
 * only those that hold a tile.
 */
export function makeTiles(
  grid: Grid,
  outline: Area,
  zones: Ceiling["noGo"],
  useOf: UseOf,
): { tiles: Tile[]; slivers: Area[] } {
  const box = boxOf(outline);
  const columns = strips(grid, 0, box.minX, box.maxX);
  const rows = strips(grid, 1, box.minY, box.maxY).reverse();
  const fit = cutter(grid, outline);
  const slivers: Area[] = [];
  const cells = rows.map((row) =>
    columns.map((column) => {
      const { kept, thin } = fit(column, row);
      slivers.push(...thin);
      return kept;
    }),
  );
  const liveRows = cells.filter((row) => row.some((kept) => kept.length));
  const liveColumns = columns.map((_, c) => c).filter((c) => cells.some((row) => row[c]!.length));
  const usable = usableOf(grid, outline, zones);
  const tiles = liveRows.flatMap((row, r) =>
    liveColumns.flatMap((c, column) =>
      row[c]!.map(({ outline: shape, cut }, piece): Tile => {
        const name = tileName(r, column, piece);
        const { use, why } = useOf(name) ?? { use: "stars", why: "" };
        const { clear, free } = use === "stars" ? usable(shape) : NOTHING;
        return {
          name,
          row: r,
          column,
          use,
          why,
          cut,
          outline: shape,
          box: boxOf(shape),
          clear,
          usable: free,
          usableMm2: areaMm2(free),
        };
      }),
    ),
  );
  return { tiles, slivers };
}

/** A function that gives the tiles of one cell, top left first, and what is too thin to be one. */
function cutter(grid: Grid, outline: Area): (x: Strip, y: Strip) => { kept: Cut[]; thin: Area[] } {
  const sizeX = toUm(grid.tileMm[0]);
  const sizeY = toUm(grid.tileMm[1]);
  const halfSlackX = Math.max(0, Math.floor((toUm(grid.moduleMm[0]) - sizeX) / 2));
  const halfSlackY = Math.max(0, Math.floor((toUm(grid.moduleMm[1]) - sizeY) / 2));
  const room = shrinkBox(outline, halfSlackX, halfSlackY);
  return (x, y) => {
    const minX = x.fromUm + halfSlackX;
    const minY = y.fromUm + halfSlackY;
    const box = { minX, minY, maxX: minX + sizeX, maxY: minY + sizeY };
    const full = boxArea(box);
    const reach = reachOf(box, room);
    if (reach === "outside") return { kept: [], thin: [] };
    if (reach === "inside") return { kept: [{ outline: full, cut: false }], thin: [] };
    const parts = pieces(intersect(full, room));
    const fullMm2 = areaMm2(full);
    return {
      kept: parts.filter((p) => !isSliver(p)).map((p) => ({ outline: p, cut: areaMm2(p) < fullMm2 })),
      thin: parts.filter(isSliver),
    };
  };
}

/** Whether a piece is nowhere as wide as SLIVER_MM. */
function isSliver(piece: Area): boolean {
  const { minX, minY, maxX, maxY } = boxOf(piece);
  const least = toUm(SLIVER_MM);
  if (Math.min(maxX - minX, maxY - minY) < least) return true;
  return !isBox(piece) && shrink(piece, least / 2 - ROUNDING_UM).length === 0;
}

/** How a box lies to an area, as far as the edges' own boxes tell. */
function reachOf(box: BoxUm, area: Area): "inside" | "outside" | "edge" {
  let edge = false;
  forEachEdge(area, (a, b) => {
    edge ||=
      Math.min(a.x, b.x) < box.maxX &&
      Math.max(a.x, b.x) > box.minX &&
      Math.min(a.y, b.y) < box.maxY &&
      Math.max(a.y, b.y) > box.minY;
  });
  if (edge) return "edge";
  const x = Math.floor((box.minX + box.maxX) / 2);
  const y = Math.floor((box.minY + box.maxY) / 2);
  return containsPoint(area, x, y) ? "inside" : "outside";
}

const NOTHING: Pick<Tile, "clear"> & { free: Area } = { clear: [], free: [] };

/**
 * A function that gives where holes may lie in a tile: the keep-out inside its edge, clear of the wall
 * angle's face (`clear`), and outside every grown no-go zone too (`free`). Rounding never eats into a distance.
 */
function usableOf(grid: Grid, outline: Area, zones: Ceiling["noGo"]): (tile: Area) => typeof NOTHING {
  const keepOutUm = toUm(grid.edgeKeepOutMm) + ROUNDING_UM;
  const sight = shrink(outline, toUm(grid.wallAngleMm + FACTS.sightMarginMm.value) + ROUNDING_UM);
  const grown = zones.map((zone) => ({ area: zone.grown, box: boxOf(zone.grown) }));
  return (tile) => {
    let clear = shrink(tile, keepOutUm);
    if (!clear.length) return NOTHING;
    const box = boxOf(clear);
    if (reachOf(box, sight) !== "inside") clear = intersect(clear, sight);
    const near = grown.filter((zone) => boxesTouch(zone.box, box)).flatMap((zone) => zone.area);
    return { clear, free: near.length ? subtract(clear, near) : clear };
  };
}
