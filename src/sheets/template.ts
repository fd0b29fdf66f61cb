import { SIDE_WORDS, type Side } from "../ceiling/flip.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Hole } from "../pattern/types.ts";
import { drawBar, placeUprightBar } from "./bars.ts";
import { contains, type BoxMm } from "./clip.ts";
import type { SheetContext, TileHoles } from "./context.ts";
import { CAP_HEIGHT, GREY, WEIGHT, line, text, type Drawing, type Item } from "./drawing.ts";
import { drawGrid, drawNoGo, drawTile } from "./field.ts";
import { placeLabels } from "./labels.ts";
import { drawGhost, drawMark, reachMm } from "./marks.ts";
import { layPages, toSheet, type Page } from "./pages.ts";
import type { Paper } from "./papers.ts";
import { TRUE_SCALE, type PrinterScale } from "./pdf.ts";
import { drawStrip } from "./strip.ts";
import { asRead, pageAsRead, viewOf } from "./view.ts";

const NUMBER_SIZE_MM = 2.5;
/** Room at the strip's right end where a standing bar has to come down into it. */
const BAR_ROOM_MM = 8;

/** The pages of one tile on one side. Numbers and pieces are the same on both sides. */
export function pagesOf({ tile, holes }: TileHoles, side: Side, paper: Paper, scale: PrinterScale): Page[] {
  const view = viewOf(tile, side);
  const points = holes.map((hole): PointMm => [hole.tileXMm, hole.tileYMm]);
  const pages = layPages(points, [view.widthMm, view.heightMm], paper, scale);
  return pages.map((page) => pageAsRead(page, view));
}

/** One page of a tile's template at 1:1. `inPack` counts it among all sheets of the pack. */
export function drawTemplate(
  context: SheetContext,
  part: TileHoles,
  side: Side,
  pages: Page[],
  index: number,
  inPack = "",
): Drawing {
  const page = pages[index]!;
  const view = viewOf(part.tile, side);
  const place = (hole: Hole) => toSheet(page, asRead(view, [hole.tileXMm, hole.tileYMm]));
  const marked = page.points.map((i) => part.holes[i]!);
  const marks = marked.map(place);
  const low = page.field.y1 - page.field.y0 < 160;
  const bar = placeUprightBar(page.field, marks, edgesOnSheet(page, view.widthMm), page.printable.y0 + 1);
  const grid = drawGrid(context, view, page);
  const noGo = drawNoGo(context, view, page);
  const tile = drawTile(view, page);
  const ghosts = part.holes
    .filter((_, i) => !page.points.includes(i))
    .map((hole) => ({ hole, at: place(hole) }))
    .filter(({ at }) => contains(page.field, at, 1.6));
  const strip: BoxMm = {
    ...page.printable,
    y1: page.field.y0,
    x1: page.printable.x1 - (low ? BAR_ROOM_MM : 0),
  };
  const words = [...grid.words, ...noGo.words, ...tile.words, bar.box];
  const items = [
    ...grid.items,
    ...noGo.items,
    ...tile.items,
    ...ghosts.flatMap(({ hole, at }) => drawGhost(at, context.styles.get(hole.diameterMm)!)),
    ...drawBar(bar.foot, true),
    ...marked.flatMap((hole, i) =>
      drawMark(marks[i]!, hole.diameterMm, context.styles.get(hole.diameterMm)!),
    ),
    ...numbers(context, marked, marks, words, page.field),
    ...drawStrip(context, { part, side, page, pages, number: index + 1, inPack }, strip),
  ];
  return {
    title: `${context.clean(context.plan.job.title)}: tile ${part.tile.name}, ${SIDE_WORDS[side].flag} (${SIDE_WORDS[side].read})`,
    ...page.sheet,
    items,
    zeroMm: toSheet(page, [0, 0]),
  };
}

function edgesOnSheet(page: Page, tileWidthMm: number): number[] {
  return [0, tileWidthMm].map((u) => toSheet(page, [u, 0])[0]);
}

/** What is printed beside a mark: its number, `f` for filler, and the name of a star or body that has one. */
export function holeWords(context: SheetContext, hole: Hole): string {
  if (hole.kind === "filler") return `${hole.numberInTile}f`;
  const name = context.clean(hole.name);
  return name === "" ? String(hole.numberInTile) : `${hole.numberInTile} ${name}`;
}

function numbers(
  context: SheetContext,
  holes: Hole[],
  centres: PointMm[],
  obstacles: BoxMm[],
  field: BoxMm,
): Item[] {
  const labels = holes.map((hole) => holeWords(context, hole));
  const placed = placeLabels(
    holes.map((hole, i) => ({
      centre: centres[i]!,
      reachMm: reachMm(context.styles.get(hole.diameterMm)!),
      widthMm: context.typeface.widthMm(labels[i]!, NUMBER_SIZE_MM),
      heightMm: NUMBER_SIZE_MM * CAP_HEIGHT,
    })),
    obstacles,
    field,
  );
  return placed.flatMap(({ box, leader }, i) => {
    const item = text("NUMBERS", [box.x0, box.y0], labels[i]!, NUMBER_SIZE_MM);
    if (!leader) return [item];
    return [line("NUMBERS", leader[0], leader[1], { widthMm: WEIGHT.hair, grey: GREY.mid }), item];
  });
}

/** The whole tile on one drawing, for SVG and DXF: as large as it needs, never corrected for a printer. */
export function drawWholeTile(context: SheetContext, part: TileHoles, side: Side): Drawing {
  const { widthMm } = viewOf(part.tile, side);
  const sheet: Paper = {
    name: "as large as the tile",
    family: "roll",
    widthMm: Math.max(widthMm + 24, 210),
    heightMm: null,
    marginMm: { sides: 5, ends: 5 },
  };
  return drawTemplate(context, part, side, pagesOf(part, side, sheet, TRUE_SCALE), 0);
}
