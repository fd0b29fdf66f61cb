import { GREY, WEIGHT, rectangle, text, type Item } from "../../drawing/drawing.ts";
import type { PointMm } from "../../geometry/types.ts";
import { FINE_MM, type SheetContext } from "../context.ts";
import { isSlanting, wallsOnSheet } from "../wallNames.ts";
import type { CeilingMap } from "./map.ts";
import { lengthWords, sizeWords } from "./words.ts";
import { toMm } from "../../geometry/um.ts";

/** Room that dimension lines take round a ceiling, beyond the walls' names. */
export const DIMENSIONS_MM = 9;
/** From a wall to its dimension line, clear of its name; and from the lowest and leftmost walls to the grid's chains. */
const WALL_MM = 7;
const CHAIN_MM = 13;
const SIZE_MM = FINE_MM;

/** The length of every wall along the sheet's edges, and below and left of the room how the grid lies in it: border, whole modules, border. */
export function drawDimensions(context: SheetContext, map: CeilingMap): Item[] {
  const { plan } = context;
  const walls = wallsOnSheet(plan, map.at).filter((wall) => !isSlanting(wall));
  const items = walls.flatMap(({ from, to, outward, trueMm }) =>
    dimension({ context, from, to, normal: outward, awayMm: WALL_MM, words: lengthWords(context, trueMm) }),
  );
  const { ceiling } = plan;
  const { left, right, bottom, top } = ceiling.grid.bordersMm;
  const [x0, x1, y0, y1] = [ceiling.box.minX, ceiling.box.maxX, ceiling.box.minY, ceiling.box.maxY].map(toMm) as [number, number, number, number]; // prettier-ignore
  const [moduleX, moduleY] = ceiling.grid.moduleMm;
  const across = chain(context, [x0, x0 + left, x1 - right, x1], moduleX);
  const along = chain(context, [y0, y0 + bottom, y1 - top, y1], moduleY);
  items.push(
    ...across.flatMap(([a, b, words]) =>
      dimension({
        context,
        from: map.at([a, y0]),
        to: map.at([b, y0]),
        normal: [0, -1],
        awayMm: CHAIN_MM,
        words,
      }),
    ),
    ...along.flatMap(([a, b, words]) =>
      dimension({
        context,
        from: map.at([x0, a]),
        to: map.at([x0, b]),
        normal: [-1, 0],
        awayMm: CHAIN_MM,
        words,
      }),
    ),
  );
  return items;
}

/** From mark to mark of the grid, with what to write there; a border of no width is left away. */
function chain(
  context: SheetContext,
  marks: readonly number[],
  moduleMm: number,
): [number, number, string][] {
  return marks.slice(1).flatMap((to, i): [number, number, string][] => {
    const from = marks[i]!;
    if (to - from < 1) return [];
    const length = lengthWords(context, to - from);
    const modules = Math.round((to - from) / moduleMm);
    if (i !== 1) return [[from, to, length]];
    return [[from, to, `${modules} \u00D7 ${sizeWords(context, moduleMm)} = ${length}`]];
  });
}

/** A dimension line beside two places, with oblique strokes at its ends (ISO 129-1), its words over a gap in it. */
function dimension({
  context: { typeface },
  from,
  to,
  normal: [nx, ny],
  awayMm,
  words,
}: {
  context: SheetContext;
  from: PointMm;
  to: PointMm;
  normal: PointMm;
  awayMm: number;
  words: string;
}): Item[] {
  const moved = ([x, y]: PointMm, by: number): PointMm => [x + nx * by, y + ny * by];
  const [a, b] = [moved(from, awayMm), moved(to, awayMm)];
  const stroke = { widthMm: WEIGHT.hair, grey: GREY.dark };
  const path = (...rings: PointMm[][]): Item => ({
    kind: "path",
    layer: "DIMENSIONS",
    rings,
    closed: false,
    stroke,
  });
  const tick = ([x, y]: PointMm): PointMm[] => [[x - 0.8, y - 0.8], [x + 0.8, y + 0.8]]; // prettier-ignore
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const upright = Math.abs(nx) > Math.abs(ny);
  const width = typeface.widthMm(words, SIZE_MM);
  const lines = path(
    [a, b],
    [moved(from, 1), moved(from, awayMm + 1)],
    [moved(to, 1), moved(to, awayMm + 1)],
    tick(a),
    tick(b),
  );
  if (width + 2 > length) {
    // too short for its words: they stand outside it, lying
    const at: PointMm = upright
      ? [(a[0] + b[0]) / 2 + nx * 1.6, (a[1] + b[1]) / 2 - SIZE_MM * 0.36]
      : [(a[0] + b[0]) / 2, a[1] + ny * (ny > 0 ? 1.4 : 1.4 + SIZE_MM * 0.73)];
    const align = upright ? (nx > 0 ? "left" : "right") : "centre";
    return [lines, text("DIMENSIONS", at, words, SIZE_MM, { align })];
  }
  const middle: PointMm = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const half: PointMm = upright ? [SIZE_MM * 0.6, width / 2 + 0.8] : [width / 2 + 0.8, SIZE_MM * 0.6];
  const at: PointMm = upright
    ? [middle[0] + SIZE_MM * 0.36, middle[1]]
    : [middle[0], middle[1] - SIZE_MM * 0.36];
  return [
    lines,
    rectangle("DIMENSIONS", [middle[0] - half[0], middle[1] - half[1]], [2 * half[0], 2 * half[1]], {
      fillGrey: GREY.white,
    }),
    text("DIMENSIONS", at, words, SIZE_MM, { align: "centre", turnDeg: upright ? 90 : 0 }),
  ];
}
