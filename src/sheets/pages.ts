import type { PointMm } from "../geometry/types.ts";
import type { Plan } from "../plan.ts";
import { clipSegment, type BoxMm } from "./clip.ts";
import type { Paper } from "./papers.ts";
import { TRUE_SCALE, printerScale, type PrinterScale } from "./pdf.ts";

/** Height of the strip with words, legend and bar at the foot of each page. */
export const STRIP_MM = 55;
/** From a hole's centre to the edge of the drawn field: its whole mark lies on its page. */
export const HOLE_PAD_MM = 3.2;
/** Shown beyond the tile's edge where there is room, so that brackets stand clear. */
const BEYOND_EDGE_MM = 7;
/** The field is never lower than this on a roll: the upright bar of 150 mm has to stand in it. */
const LEAST_FIELD_MM = 170;

/** One sheet of paper and the piece of the tile on it. Lengths in mm, before the printer's correction. */
export interface Page {
  sheet: { widthMm: number; heightMm: number };
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
  margin: { x: number; y: number };
  /** Infinity where the roll runs on. */
  field: { widthMm: number; heightMm: number };
}

/** Upright, then turned; a roll runs on along the drawing's height, then along its width. */
function formatsOf(paper: Paper, scale: PrinterScale): Format[] {
  const { widthMm, marginMm } = paper;
  const heightMm = paper.heightMm ?? Infinity;
  const format = (width: number, height: number, mx: number, my: number): Format => {
    const sheet = { widthMm: width / scale.x, heightMm: height / scale.y };
    const margin = { x: mx / scale.x, y: my / scale.y };
    const field = {
      widthMm: sheet.widthMm - 2 * margin.x,
      heightMm: sheet.heightMm - 2 * margin.y - STRIP_MM,
    };
    return { sheet, margin, field };
  };
  return [
    format(widthMm, heightMm, marginMm.sides, marginMm.ends),
    format(heightMm, widthMm, marginMm.ends, marginMm.sides),
  ];
}

/**
 * Fewest pages for the points of one tile (mm from its lower left corner, as read) on that paper, both ways
 * round. Columns of points are taken greedily from the left and each cut greedily from below, and the other
 * way about: with one direction fixed that is the least number of strips. `sizeMm` is the tile's box.
 */
export function layPages(
  points: PointMm[],
  sizeMm: PointMm,
  paper: Paper,
  scale: PrinterScale = TRUE_SCALE,
): Page[] {
  if (points.length === 0) return [];
  let best: { format: Format; groups: number[][] } | null = null;
  for (const format of formatsOf(paper, scale))
    for (const firstAxis of [0, 1] as const) {
      const groups = cover(points, format, firstAxis);
      if (!best || groups.length < best.groups.length) best = { format, groups };
    }
  const { format, groups } = best!;
  return groups.map((group) => pageOf(points, group, sizeMm, format)).sort(readingOrder);
}

/** How many pages each side takes on that paper: cheap, nothing is drawn. */
export function countPages(plan: Plan, paper: Paper): number {
  const scale = printerScale(plan.job.sheets.printer);
  const byTile = new Map<string, PointMm[]>();
  for (const hole of plan.pattern.holes) {
    const points = byTile.get(hole.tile);
    if (points) points.push([hole.tileXMm, hole.tileYMm]);
    else byTile.set(hole.tile, [[hole.tileXMm, hole.tileYMm]]);
  }
  let pages = 0;
  for (const points of byTile.values()) {
    const counts = formatsOf(paper, scale).flatMap((format) =>
      ([0, 1] as const).map((axis) => cover(points, format, axis).length),
    );
    pages += Math.min(...counts);
  }
  return pages;
}

function cover(points: PointMm[], { field }: Format, firstAxis: 0 | 1): number[][] {
  const room: PointMm = [field.widthMm - 2 * HOLE_PAD_MM, field.heightMm - 2 * HOLE_PAD_MM];
  const all = points.map((_, i) => i);
  const secondAxis = firstAxis === 0 ? 1 : 0;
  return strips(points, all, firstAxis, room[firstAxis]).flatMap((strip) =>
    strips(points, strip, secondAxis, room[secondAxis]),
  );
}

/** Cuts points into the fewest runs no longer than roomMm along one axis. */
function strips(points: PointMm[], indices: number[], axis: 0 | 1, roomMm: number): number[][] {
  const sorted = [...indices].sort((i, j) => points[i]![axis] - points[j]![axis] || i - j);
  const runs: number[][] = [];
  let start = -Infinity;
  for (const i of sorted) {
    const at = points[i]![axis];
    if (runs.length === 0 || at - start > roomMm) {
      runs.push([]);
      start = at;
    }
    runs.at(-1)!.push(i);
  }
  return runs;
}

function pageOf(points: PointMm[], group: number[], sizeMm: PointMm, format: Format): Page {
  const [x, fieldWidth] = span(points, group, 0, format.field.widthMm, sizeMm[0]);
  const [y, fieldHeight] = span(points, group, 1, format.field.heightMm, sizeMm[1]);
  const { margin } = format;
  const sheet = {
    widthMm: fieldWidth + 2 * margin.x,
    heightMm: fieldHeight + STRIP_MM + 2 * margin.y,
  };
  const printable = {
    x0: margin.x,
    y0: margin.y,
    x1: sheet.widthMm - margin.x,
    y1: sheet.heightMm - margin.y,
  };
  const field = { ...printable, y0: printable.y0 + STRIP_MM };
  return { sheet, printable, field, corner: [x, y], points: [...group].sort((i, j) => i - j) };
}

/** Where the field begins along one axis, and its length: a tile's edge on the page if one can be had. */
function span(
  points: PointMm[],
  group: number[],
  axis: 0 | 1,
  fieldMm: number,
  tileMm: number,
): [startMm: number, lengthMm: number] {
  if (fieldMm === Infinity) {
    const length = Math.max(tileMm + 2 * BEYOND_EDGE_MM, LEAST_FIELD_MM);
    return [(tileMm - length) / 2, length];
  }
  if (fieldMm >= tileMm) return [(tileMm - fieldMm) / 2, fieldMm];
  let [least, most] = [Infinity, -Infinity];
  for (const i of group) {
    least = Math.min(least, points[i]![axis]);
    most = Math.max(most, points[i]![axis]);
  }
  const earliest = most + HOLE_PAD_MM - fieldMm;
  const latest = least - HOLE_PAD_MM;
  const within = (start: number) => start >= earliest && start <= latest;
  const [fromLow, fromHigh] = [-BEYOND_EDGE_MM, tileMm + BEYOND_EDGE_MM - fieldMm];
  const wishes = least + most < tileMm ? [fromLow, fromHigh] : [fromHigh, fromLow];
  const edge = wishes.find(within);
  if (edge !== undefined) return [edge, fieldMm];
  const middle = (earliest + latest) / 2;
  return [within(Math.round(middle)) ? Math.round(middle) : middle, fieldMm];
}

/** Top row first, then from the left, like the tiles' own names. */
function readingOrder(a: Page, b: Page): number {
  return b.corner[1] - a.corner[1] || a.corner[0] - b.corner[0];
}

/** From tile (as read) to sheet. */
export const toSheet = (page: Page, [u, v]: PointMm): PointMm => [
  page.field.x0 + (u - page.corner[0]),
  page.field.y0 + (v - page.corner[1]),
];

/** A line of the tile (as read) on the sheet, cut at the field's edge; null if none of it is on the page. */
export function lineOnSheet(page: Page, from: PointMm, to: PointMm): [PointMm, PointMm] | null {
  return clipSegment(toSheet(page, from), toSheet(page, to), page.field);
}
