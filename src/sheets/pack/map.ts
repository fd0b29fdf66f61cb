import { drawnFrom, mapPoint, SIDE_WORDS, type Side } from "../../ceiling/flip.ts";
import type { Tile } from "../../ceiling/types.ts";
import type { Area, PointMm, PointUm } from "../../geometry/types.ts";
import { drawCompass, northWords } from "../bearings.ts";
import { hatch, type BoxMm } from "../../drawing/clip.ts";
import { FINE_MM, type SheetContext } from "../context.ts";
import { GREY, WEIGHT, rectangle, text, type Item } from "../../drawing/drawing.ts";
import { fitted } from "../../drawing/words.ts";
import { DIMENSIONS_MM, drawDimensions } from "./dimensions.ts";
import { lengthWords } from "./words.ts";
import { besideWall, isSlanting, wallName, wallsOnSheet } from "../wallNames.ts";
import { toMm } from "../../geometry/um.ts";

/** Room round the ceiling for wall names. */
const AROUND_MM = 8;
/** Below the ceiling, for what the drawing is and the compass. */
const WORDS_MM = 14;

/** A ceiling fitted into a box of a page, and how to get a point of the plan there. */
export interface CeilingMap {
  side: Side;
  scale: number;
  at(point: PointMm): PointMm;
  rings(area: Area): PointMm[][];
  items: Item[];
}

export interface MapLayers {
  /** Words in a tile, under its name. */
  tileWords?: (tile: Tile) => string;
  /** Grey of a tile's floor, 1 = white. */
  tileGrey?: (tile: Tile) => number;
  zones?: boolean;
  /** Dimension lines: every wall, and how the grid lies in the room. */
  dimensions?: boolean;
}

const mm = ({ x, y }: PointUm): PointMm => [toMm(x), toMm(y)];

/** Outline, tiles with names, walls, compass, and the wished layers. Not for measuring. */
export function drawMap(context: SheetContext, side: Side, box: BoxMm, layers: MapLayers = {}): CeilingMap {
  const { ceiling } = context.plan;
  const { minX, minY, maxX, maxY } = ceiling.box;
  const [width, height] = [toMm(maxX - minX), toMm(maxY - minY)];
  const around = layers.dimensions ? AROUND_MM + DIMENSIONS_MM : AROUND_MM;
  const free = { width: box.x1 - box.x0 - 2 * around, height: box.y1 - box.y0 - 2 * around - WORDS_MM };
  const scale = Math.min(free.width / width, free.height / height);
  const read = drawnFrom(side, {
    minX: toMm(minX),
    minY: toMm(minY),
    maxX: toMm(maxX),
    maxY: toMm(maxY),
  });
  const origin: PointMm = [
    box.x0 + around + (free.width - width * scale) / 2,
    box.y1 - around - height * scale,
  ];
  const at = ([x, y]: PointMm): PointMm => {
    const point = mapPoint(read, { x, y });
    return [origin[0] + point.x * scale, origin[1] + point.y * scale];
  };
  const rings = (area: Area) => area.map((ring) => ring.map((p) => at(mm(p))));
  const map: CeilingMap = { side, scale, at, rings, items: [] };
  for (const tile of ceiling.tiles) map.items.push(...drawTile(context, map, tile, layers));
  if (layers.zones) map.items.push(...drawZones(context, map));
  for (const tile of ceiling.tiles) map.items.push(...drawTileWords(context, map, tile, layers));
  const edge = { widthMm: WEIGHT.thick, grey: GREY.black };
  map.items.push({
    kind: "path",
    layer: "OUTLINE",
    rings: rings(ceiling.outline),
    closed: true,
    stroke: edge,
  });
  map.items.push(
    ...drawWalls(context, map, layers),
    ...(layers.dimensions ? drawDimensions(context, map) : []),
    ...drawWords(context, side, scale, box, origin[1] - around),
  );
  return map;
}

function drawTile(context: SheetContext, map: CeilingMap, tile: Tile, layers: MapLayers): Item[] {
  const outline = map.rings(tile.outline);
  const points = outline.flat();
  const { x0, x1, y0, y1 } = headOf(points);
  const thin = { widthMm: WEIGHT.hair, grey: GREY.mid };
  const grey = layers.tileGrey?.(tile) ?? GREY.white;
  const items: Item[] = [
    {
      kind: "path",
      layer: "TILES",
      rings: outline,
      closed: true,
      stroke: thin,
      ...(grey < GREY.white ? { fillGrey: grey } : {}),
    },
  ];
  if (tile.use !== "stars") {
    const lines = hatch(outline, 3);
    if (lines.length > 0)
      items.push({
        kind: "path",
        layer: "TILES",
        rings: lines,
        closed: false,
        stroke: { ...thin, grey: GREY.light },
      });
  }
  const size = Math.max(FINE_MM, Math.min(3, (x1 - x0) * 0.3, (y1 - y0) * 0.4));
  const full = tile.use === "stars" ? tile.name : `${tile.name} ${tile.use}`;
  const name = context.typeface.widthMm(full, size, true) <= x1 - x0 - 0.6 ? full : tile.name;
  items.push(text("TILE-NAMES", [x0 + 0.6, y1 - size * 0.95], name, size, { bold: true, grey: GREY.dark }));
  return items;
}

/** Where a tile has its name: along its upper edge, which in a tile with a corner cut out of it is shorter than the tile. */
function headOf(points: readonly PointMm[]): { x0: number; x1: number; y0: number; y1: number } {
  const ys = points.map((p) => p[1]);
  const [y0, y1] = [Math.min(...ys), Math.max(...ys)];
  const upper = points.filter((p) => p[1] > y1 - 0.01);
  const xs = (upper.length > 1 ? upper : points).map((p) => p[0]);
  return { x0: Math.min(...xs), x1: Math.max(...xs), y0, y1 };
}

/** In the upper right of a tile, opposite its name, where most zones leave it to be read. */
function drawTileWords(context: SheetContext, map: CeilingMap, tile: Tile, layers: MapLayers): Item[] {
  const words = context.clean(layers.tileWords?.(tile) ?? "");
  if (words === "") return [];
  const points = map.rings(tile.outline).flat();
  const { x0, x1, y0, y1 } = headOf(points);
  const size = Math.max(FINE_MM, Math.min(3.4, (y1 - y0) * 0.3));
  const own = fitted(words, x1 - x0 - 0.6, size, context.typeface);
  const width = context.typeface.widthMm(own, size);
  const nameSize = Math.max(FINE_MM, Math.min(3, (x1 - x0) * 0.3, (y1 - y0) * 0.4));
  const beside = context.typeface.widthMm(tile.name, nameSize, true) + width + 2.5 <= x1 - x0;
  const y = y1 - size * 0.95 - (beside ? 0 : nameSize);
  return [
    rectangle("TILE-WORDS", [x1 - width - 1.4, y - 0.4], [width + 0.8, size * 0.73 + 0.8], {
      fillGrey: GREY.white,
    }),
    text("TILE-WORDS", [x1 - 1, y], own, size, { align: "right" }),
  ];
}

/** From a tile's upper edge, what its name may take. */
const NAME_ROW_MM = 3.2;

/** No-go zones, numbered as in the register. */
function drawZones(context: SheetContext, map: CeilingMap): Item[] {
  const heads = context.plan.ceiling.tiles.map((tile) => {
    const points = map.rings(tile.outline).flat();
    const [xs, ys] = [points.map((p) => p[0]), points.map((p) => p[1])];
    return { left: Math.min(...xs), right: Math.max(...xs), top: Math.max(...ys) };
  });
  // "D5" with a 3 beside it would read as another tile: a number keeps out of the row of names
  const clear = (x: number, places: readonly number[]): number =>
    places.find((y) =>
      heads.every(({ left, right, top }) => x < left || x > right || y > top || y + 2 < top - NAME_ROW_MM),
    ) ?? places[0]!;
  return context.plan.ceiling.noGo.flatMap(({ index, shape, grown }): Item[] => {
    const outer = map.rings(grown);
    const points = outer.flat();
    if (points.length === 0) return [];
    const x = points.reduce((sum, p) => sum + p[0], 0) / points.length;
    const top = Math.max(...points.map((p) => p[1]));
    const bottom = Math.min(...points.map((p) => p[1]));
    const lines = hatch(outer, 1.3);
    return [
      ...(lines.length > 0
        ? [
            {
              kind: "path",
              layer: "NO-GO",
              rings: lines,
              closed: false,
              stroke: { widthMm: WEIGHT.hair, grey: GREY.mid },
            } as const,
          ]
        : []),
      {
        kind: "path",
        layer: "NO-GO",
        rings: outer,
        closed: true,
        stroke: { widthMm: WEIGHT.hair, grey: GREY.dark, dashMm: [1, 0.6] },
      },
      {
        kind: "path",
        layer: "NO-GO",
        rings: map.rings(shape),
        closed: true,
        stroke: { widthMm: WEIGHT.medium, grey: GREY.black },
      },
      text("NO-GO", [x, clear(x, [top + 0.6, bottom - 2.5])], String(index + 1), 2.6, {
        align: "centre",
        bold: true,
      }),
    ];
  });
}

/** A slanting wall has no dimension line: its length stands beside its name. */
function drawWalls(context: SheetContext, map: CeilingMap, { dimensions }: MapLayers): Item[] {
  const size = 2.6;
  return wallsOnSheet(context.plan, map.at).flatMap((wall) => {
    // where dimensions stand farther out there is room for one line
    if (!dimensions)
      return wallName(wall, context.clean(wall.name), 1.6, size, context.typeface).map(
        ({ at, words, turnDeg }) => text("WALLS", at, words, size, { align: "centre", turnDeg }),
      );
    const length = isSlanting(wall) ? lengthWords(context, wall.trueMm) : "";
    const words = [context.clean(wall.name), length].filter(Boolean).join(", ");
    const { at, turnDeg } = besideWall(wall, 1.6, size, context.typeface.widthMm(words, size));
    return text("WALLS", at, words, size, { align: "centre", turnDeg });
  });
}

function drawWords(context: SheetContext, side: Side, scale: number, box: BoxMm, top: number): Item[] {
  const words = SIDE_WORDS[side];
  return [
    text("TEXT", [box.x0, top - 4], words.whole, 3.6, { bold: true }),
    text(
      "TEXT",
      [box.x0, top - 7.6],
      `${words.check} About 1:${Math.round(1 / scale)}, not for measuring.${northWords(context.plan)}`,
      FINE_MM,
    ),
    ...drawCompass(context.plan, side, [box.x1 - 8, top - 5], 5.5),
  ];
}
