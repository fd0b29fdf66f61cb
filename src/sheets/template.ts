import { toMm } from "../geometry/um.ts";
import { SIDE_WORDS, type Side } from "../ceiling/flip.ts";
import { boxOf } from "../geometry/area.ts";
import type { PointMm } from "../geometry/types.ts";
import { drillMm, holeMm } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import { drawBar, placeUprightBar } from "./bars.ts";
import { contains, type BoxMm } from "../drawing/clip.ts";
import type { SheetContext, TileHoles } from "./context.ts";
import {
  CAP_HEIGHT,
  GREY,
  WEIGHT,
  line,
  rectangle,
  text,
  type Drawing,
  type Item,
} from "../drawing/drawing.ts";
import { crossesOf, drawGrid, drawNoGo, drawTile } from "./field.ts";
import { placeLabels } from "../drawing/labels.ts";
import { drawGhost, drawMark, reachMm } from "./marks.ts";
import { layTile, type LaidTile } from "./laid.ts";
import { toSheet, type Page } from "./pages.ts";
import type { Paper } from "./papers.ts";
import { TRUE_SCALE } from "../drawing/pdf.ts";
import { drawStrip } from "./strip.ts";
import { asRead, viewOf, type TileView } from "./view.ts";

/**
 * Figures of 4 mm, and a dot of a printer more: above the 3.5 mm of ISO 3098-1's row of lettering, whose height is that
 * of capitals. Read at arm's length, with an awl in hand.
 */
const NUMBER_SIZE_MM = 4.1 / CAP_HEIGHT;
/** A star's name beside its number. */
const NAME_SIZE_MM = 2.8;
const NAME_GAP_MM = 1.2;

/** One page of a tile: a template at 1:1, or its check sheet. `inPack` counts it among all sheets of the pack. */
export function drawTemplate(
  context: SheetContext,
  { part, pages, listed }: LaidTile,
  side: Side,
  index: number,
  inPack = "",
): Drawing {
  const page = pages[index]!;
  const view = viewOf(part.tile, side);
  const styles = page.shrink === 1 ? context.styles : context.shrunkStyles(page.shrink);
  const place = (hole: Hole) => toSheet(page, asRead(view, [hole.tileXMm, hole.tileYMm]));
  const marked = page.points.map((i) => part.holes[i]!);
  const marks = marked.map(place);
  // a cross and the distances beside it, up to 13 mm to its right, stay clear of the bar
  const crosses = crossesOf(context, view, page).flatMap((at): PointMm[] => {
    const [x, y] = toSheet(page, asRead(view, at));
    return [[x - 3, y], [x + 6, y], [x + 13, y]]; // prettier-ignore
  });
  const grid = drawGrid(context, view, page);
  const tile = drawTile(view, page);
  const clear = [...marks, ...crosses, ...tile.words.flatMap(({ x0, x1, y0 }): PointMm[] => [[x0, y0], [x1, y0]])]; // prettier-ignore
  const bars = page.shrink === 1 ? [placeUprightBar(page, clear, uprightLines(view, page))] : [];
  const barBoxes = bars.map(({ box }) => box);
  const noGo = drawNoGo(context, view, page, [...grid.words, ...tile.words, ...barBoxes]);
  const ghosts = part.holes
    .filter((_, i) => !page.points.includes(i))
    .map((hole) => ({ hole, at: place(hole) }))
    .filter(({ at }) => contains(page.field, at, 1.6));
  const strip: BoxMm = { ...page.field, y0: page.printable.y0, y1: page.field.y0 };
  const words = [...grid.words, ...noGo.words, ...tile.words, ...tile.edges, ...barBoxes];
  const items = [
    ...grid.items,
    ...noGo.items,
    ...tile.items,
    ...ghosts.flatMap(({ hole, at }) => drawGhost(at, styles.get(hole.diameterMm)!)),
    ...bars.flatMap(({ foot, barMm }) => drawBar(foot, true, barMm)),
    ...numbers({ ...context, styles }, marked, marks, { obstacles: words, field: page.field }),
    ...marked.flatMap((hole, i) => drawMark(marks[i]!, hole, styles.get(hole.diameterMm)!)),
    ...drawStrip(context, { part, side, page, pages, listed, number: index + 1, inPack }, strip),
  ];
  return {
    title: `${context.clean(context.plan.job.title)}: tile ${part.tile.name}, ${SIDE_WORDS[side].flag} (${SIDE_WORDS[side].read})`,
    ...page.sheet,
    items,
    zeroMm: toSheet(page, [0, 0]),
  };
}

function uprightLines(view: TileView, page: Page): number[] {
  const { minX, maxX } = boxOf(view.tile.usable);
  const usable = [minX, maxX].map((x) => toMm(x - view.tile.box.minX));
  return [0, view.widthMm, ...usable].map((x) => toSheet(page, asRead(view, [x, 0]))[0]);
}

/** A catalogue number ("HIP 95352", "10 Aql") would only be taken for the hole's number; holes.csv has it. */
const CATALOGUE_NAME = /^(HIP )?\d/;

/**
 * What is printed beside a mark: its number, with `f` for filler, and small the name of a star or body that has one and,
 * where several strands share the hole, how many and what to drill: "Vega, 5× in 4.1 mm".
 */
export function holeWords(context: SheetContext, hole: Hole): { number: string; name: string } {
  const filler = hole.kind === "filler";
  const name = filler || CATALOGUE_NAME.test(hole.name) ? "" : context.clean(hole.name);
  const group = hole.strands > 1 ? `${hole.strands}× in ${drillMm(hole)} mm` : "";
  return {
    number: `${hole.numberInTile}${filler ? "f" : ""}`,
    name: [name, group].filter(Boolean).join(", "),
  };
}

function numbers(
  context: SheetContext,
  holes: Hole[],
  centres: PointMm[],
  { obstacles, field }: { obstacles: BoxMm[]; field: BoxMm },
): Item[] {
  const { typeface, styles } = context;
  const labels = holes.map((hole) => {
    const { number, name } = holeWords(context, hole);
    const numberMm = typeface.widthMm(number, NUMBER_SIZE_MM);
    const nameMm = name === "" ? 0 : NAME_GAP_MM + typeface.widthMm(name, NAME_SIZE_MM);
    return { number, name, numberMm, widthMm: numberMm + nameMm };
  });
  const placed = placeLabels(
    holes.map((hole, i) => ({
      centre: centres[i]!,
      reachMm: Math.max(reachMm(styles.get(hole.diameterMm)!), hole.strands > 1 ? holeMm(hole) / 2 : 0),
      widthMm: labels[i]!.widthMm,
      heightMm: NUMBER_SIZE_MM * CAP_HEIGHT,
    })),
    obstacles,
    { x0: field.x0 + 0.8, y0: field.y0 + 0.8, x1: field.x1 - 0.8, y1: field.y1 - 0.8 },
  );
  return placed.flatMap(({ box, leader }, i): Item[] => {
    const { x0, y0, x1, y1 } = box;
    const { number, name, numberMm } = labels[i]!;
    const items: Item[] = [
      rectangle("NUMBERS", [x0 - 0.2, y0 - 0.3], [x1 - x0 + 0.4, y1 - y0 + 0.6], { fillGrey: GREY.white }),
      text("NUMBERS", [x0, y0], number, NUMBER_SIZE_MM),
    ];
    if (name !== "") items.push(text("NUMBERS", [x0 + numberMm + NAME_GAP_MM, y0], name, NAME_SIZE_MM));
    if (leader) items.push(line("NUMBERS", leader[0], leader[1], { widthMm: WEIGHT.hair, grey: GREY.mid }));
    return items;
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
  const whole = {
    paper: sheet,
    scale: TRUE_SCALE,
    fullFace: true,
    listFew: false,
    listed: new Set<string>(),
  };
  return drawTemplate(context, layTile(part, side, whole), side, 0);
}
