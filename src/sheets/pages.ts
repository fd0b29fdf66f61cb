import type { PointMm } from "../geometry/types.ts";
import { clipSegment, type BoxMm } from "../drawing/clip.ts";
import type { Paper } from "./papers.ts";
import { TRUE_SCALE, UNSCALED, pageScale, type PageScale, type PrinterScale } from "../drawing/pdf.ts";

/** Height of the strip with words, legend and bar at the foot of each page. */
export const STRIP_MM = 60;
/** From a hole's centre to the edge of the drawn field: its whole mark lies on its page. */
export const HOLE_PAD_MM = 3.2;
/** Shown beyond the tile's edge, so that brackets stand clear: where there is room, and where it is scarce. */
const BEYOND_EDGE_MM = [7, 2];
/** A field at least this high holds the standing bar of 150 mm; beside a lower one it needs room of its own. */
export const BAR_FIELD_MM = 156;
const BAR_ROOM_MM = 9;
/** The field is never lower than this on a roll: the upright bar of 150 mm has to stand in it. */
const LEAST_FIELD_MM = 170;

/** One sheet of paper and the piece of the tile on it. Lengths in mm, before the printer's correction. */
export interface Page {
  sheet: { widthMm: number; heightMm: number };
  /** What its print is stretched by. */
  scale: PageScale;
  /** 1 at full size; 2 where the tile is drawn half as large. */
  shrink: number;
  /** Where ink may go. */
  printable: BoxMm;
  /** The drawn field on the sheet. */
  field: BoxMm;
  /** What of the tile lies at the field's lower left corner: mm from the tile's lower left corner AS READ. */
  corner: PointMm;
  /** Which of the points given are marked here; every point is marked on exactly one page. */
  points: number[];
}

interface Format {
  sheet: { widthMm: number; heightMm: number };
  scale: PageScale;
  margin: { x: number; y: number };
  /** Right of the field, where it is too low for the standing bar of 150 mm; 0 elsewhere. */
  barRoomMm: number;
  /** Infinity where the roll runs on. */
  field: { widthMm: number; heightMm: number };
}

/** Upright, then turned; a roll runs on along the drawing's height, then along its width. */
function formatsOf(paper: Paper, printer: PrinterScale): Format[] {
  const { widthMm, marginMm } = paper;
  const heightMm = paper.heightMm ?? Infinity;
  const format = (width: number, height: number, mx: number, my: number, turned: boolean): Format => {
    const scale = pageScale(printer, turned);
    const sheet = { widthMm: width / scale.x, heightMm: height / scale.y };
    const margin = { x: mx / scale.x, y: my / scale.y };
    const fieldHeight = sheet.heightMm - 2 * margin.y - STRIP_MM;
    const barRoomMm = fieldHeight < BAR_FIELD_MM ? BAR_ROOM_MM : 0;
    const fieldWidth = sheet.widthMm - 2 * margin.x - barRoomMm;
    return { sheet, scale, margin, barRoomMm, field: { widthMm: fieldWidth, heightMm: fieldHeight } };
  };
  return [
    format(widthMm, heightMm, marginMm.sides, marginMm.ends, false),
    format(heightMm, widthMm, marginMm.ends, marginMm.sides, true),
  ];
}

/**
 * Fewest pages for the points of one tile (mm from its lower left corner, as read) on that paper, both ways
 * round. Columns of points are taken first and each is cut into pages, and the other way about: with one
 * direction fixed that is the least number of strips. Pages without a point never arise. `sizeMm` is the tile's box.
 */
export function layPages(
  points: PointMm[],
  sizeMm: PointMm,
  paper: Paper,
  scale: PrinterScale = TRUE_SCALE,
): Page[] {
  if (points.length === 0) return [];
  const { format, groups } = fewest(points, sizeMm, formatsOf(paper, scale));
  return groups.map((group) => pageOf(group, sizeMm, format)).sort(readingOrder);
}

function fewest(points: PointMm[], sizeMm: PointMm, formats: Format[]): { format: Format; groups: Group[] } {
  let best: { format: Format; groups: Group[] } | null = null;
  for (const format of formats)
    for (const firstAxis of [0, 1] as const) {
      const groups = cover(points, sizeMm, format, firstAxis);
      if (!best || groups.length < best.groups.length) best = { format, groups };
    }
  return best!;
}

/** The points of each page that `layPages` would lay: cheap, nothing is drawn. */
export function pieces(points: PointMm[], sizeMm: PointMm, paper: Paper, scale: PrinterScale): number[][] {
  if (points.length === 0) return [];
  return fewest(points, sizeMm, formatsOf(paper, scale)).groups.map((group) => group.points);
}

/** How much smaller than the tile a check sheet may be: the first that fits its paper. 1 : 2 at least, so that nobody punches from it. */
const SHRINKS = [2, 2.5, 3, 3.5, 4, 5, 6, 8, 10, 15, 20, 50, 100];

/** The whole tile, made smaller, on one sheet. `points` are all of its holes; `sizeMm` is its box. */
export function reducedPage(points: PointMm[], sizeMm: PointMm, paper: Paper): Page {
  const around = 2 * BEYOND_EDGE_MM[0]!;
  const fits = formatsOf(paper, TRUE_SCALE).map((format) => {
    const { widthMm, heightMm } = format.field;
    const shrink = SHRINKS.find(
      (by) => sizeMm[0] / by + around <= widthMm && sizeMm[1] / by + around <= heightMm,
    );
    return { format, shrink: shrink ?? SHRINKS.at(-1)! };
  });
  const { format, shrink } = fits[1]!.shrink < fits[0]!.shrink ? fits[1]! : fits[0]!;
  const start = [format.field.widthMm, format.field.heightMm].map(
    (mm, axis) => (sizeMm[axis]! - mm * shrink) / 2,
  );
  const group = { points: points.map((_, i) => i), start: start as PointMm };
  return { ...pageOf(group, sizeMm, format), scale: UNSCALED, shrink };
}

interface Group {
  points: number[];
  /** Where the field begins, per axis. */
  start: PointMm;
}

function cover(points: PointMm[], sizeMm: PointMm, { field }: Format, firstAxis: 0 | 1): Group[] {
  const length: PointMm = [field.widthMm, field.heightMm];
  const secondAxis = firstAxis === 0 ? 1 : 0;
  const strips = (indices: number[], axis: 0 | 1) =>
    stripsOf(points, indices, axis, length[axis], sizeMm[axis]);
  const all = points.map((_, i) => i);
  return strips(all, firstAxis).flatMap((strip) =>
    strips(strip.points, secondAxis).map((piece): Group => {
      const start: PointMm = firstAxis === 0 ? [strip.start, piece.start] : [piece.start, strip.start];
      return { points: piece.points, start };
    }),
  );
}

interface Strip {
  start: number;
  points: number[];
}

/**
 * The fewest fields of one length that hold all points along one axis (greedy, which is least on a line),
 * laid so that edges of the tile are on the page if they can be, else spread over the points.
 */
function stripsOf(
  points: PointMm[],
  indices: number[],
  axis: 0 | 1,
  fieldMm: number,
  tileMm: number,
): Strip[] {
  const sorted = [...indices].sort((i, j) => points[i]![axis] - points[j]![axis] || i - j);
  const at = (i: number) => points[i]![axis];
  if (fieldMm >= tileMm) return [{ start: (tileMm - fieldMm) / 2, points: sorted }];
  const greedy = greedyStarts(sorted.map(at), fieldMm);
  const count = greedy.length;
  const [least, most] = [at(sorted[0]!), at(sorted.at(-1)!)];
  const ways = [
    ...BEYOND_EDGE_MM.flatMap((beyond) => edgeWays(sorted.map(at), fieldMm, tileMm, beyond, count)),
    ...spread(least - HOLE_PAD_MM, most + HOLE_PAD_MM - fieldMm, count),
    greedy,
  ];
  for (const starts of ways) {
    const strips = starts.map((start): Strip => ({ start, points: [] }));
    const missed = sorted.filter((i) => {
      const strip = strips.find(
        ({ start }) => at(i) >= start + HOLE_PAD_MM && at(i) <= start + fieldMm - HOLE_PAD_MM,
      );
      strip?.points.push(i);
      return !strip;
    });
    if (missed.length === 0) return strips.filter((strip) => strip.points.length > 0);
  }
  throw new RangeError(`fields of ${fieldMm} mm cannot hold the holes`);
}

/** Fields from the lowest hole up, each begun at the first hole that the one before could not take. */
function greedyStarts(sorted: number[], fieldMm: number, first?: number): number[] {
  const starts: number[] = first === undefined ? [] : [first];
  for (const at of sorted)
    if (starts.length === 0 || at > starts.at(-1)! + fieldMm - HOLE_PAD_MM) starts.push(at - HOLE_PAD_MM);
  return starts;
}

/** Ways with a tile's edge on the page, both edges first, for as few pages as without. */
function edgeWays(
  sorted: number[],
  fieldMm: number,
  tileMm: number,
  beyond: number,
  count: number,
): number[][] {
  const [first, last] = [-beyond, tileMm + beyond - fieldMm];
  const fromLow = greedyStarts(sorted, fieldMm, first);
  // The same from the other edge: turned round, begun there, turned back.
  const turned = sorted.map((at) => tileMm - at).reverse();
  const fromHigh = greedyStarts(turned, fieldMm, -beyond)
    .map((start) => tileMm - start - fieldMm)
    .reverse();
  const both = count === 1 ? [] : spread(first, last, count);
  return [...both, fromLow, fromHigh].filter((starts) => starts.length === count);
}

/** `count` starts from first to last, evenly. */
function spread(first: number, last: number, count: number): number[][] {
  if (count === 1) return [[(first + last) / 2]];
  return [Array.from({ length: count }, (_, k) => first + ((last - first) * k) / (count - 1))];
}

function pageOf({ points, start }: Group, sizeMm: PointMm, format: Format): Page {
  const [x, fieldWidth] = onRoll(start[0], format.field.widthMm, sizeMm[0]);
  const [y, fieldHeight] = onRoll(start[1], format.field.heightMm, sizeMm[1]);
  const { scale, margin, barRoomMm } = format;
  const sheet = {
    widthMm: fieldWidth + barRoomMm + 2 * margin.x,
    heightMm: fieldHeight + STRIP_MM + 2 * margin.y,
  };
  const printable = {
    x0: margin.x,
    y0: margin.y,
    x1: sheet.widthMm - margin.x,
    y1: sheet.heightMm - margin.y,
  };
  const field = { ...printable, y0: printable.y0 + STRIP_MM, x1: printable.x1 - barRoomMm };
  const own = [...points].sort((i, j) => i - j);
  return { sheet, scale, shrink: 1, printable, field, corner: [x, y], points: own };
}

/** On a roll the field is cut to the tile. */
function onRoll(start: number, fieldMm: number, tileMm: number): [startMm: number, lengthMm: number] {
  if (fieldMm !== Infinity) return [start, fieldMm];
  const length = Math.max(tileMm + 2 * BEYOND_EDGE_MM[0]!, LEAST_FIELD_MM);
  return [(tileMm - length) / 2, length];
}

/** Top row first, then from the left, like the tiles' own names. */
function readingOrder(a: Page, b: Page): number {
  return b.corner[1] - a.corner[1] || a.corner[0] - b.corner[0];
}

/** From tile (as read) to sheet. */
export const toSheet = (page: Page, [u, v]: PointMm): PointMm => [
  page.field.x0 + (u - page.corner[0]) / page.shrink,
  page.field.y0 + (v - page.corner[1]) / page.shrink,
];

/** A line of the tile (as read) on the sheet, cut at the field's edge; null if none of it is on the page. */
export function lineOnSheet(page: Page, from: PointMm, to: PointMm): [PointMm, PointMm] | null {
  return clipSegment(toSheet(page, from), toSheet(page, to), page.field);
}
