import { kindWords } from "../job/noGoKinds.ts";
import type { PointMm } from "../geometry/types.ts";
import { partWords } from "../job/units.ts";
import { clipRings, clipSegment, contains, hatch, type BoxMm } from "../drawing/clip.ts";
import { alongLine } from "../drawing/labels.ts";
import { FINE_MM, ruledWords, type SheetContext } from "./context.ts";
import { CAP_HEIGHT, GREY, WEIGHT, rectangle, text, type Item, type Stroke } from "../drawing/drawing.ts";
import { lineOnSheet, toSheet, type Page } from "./pages.ts";
import { asRead, ringsOnSheet, type TileView } from "./view.ts";

const BRACKET_MM = 15;
/** Half the length of a cross to prick through, and how far its middle stays from the frame. */
const CROSS_MM = 6;
const CROSS_PAD_MM = 1;

/** Frame, numbered ticks and ruled lines, all counted from the datum corner. Returns the numbers' boxes too. */
export function drawGrid(
  context: SheetContext,
  view: TileView,
  page: Page,
): { items: Item[]; words: BoxMm[] } {
  const { field } = page;
  const grid: PointMm[][] = [];
  const ticks: PointMm[][] = [];
  const labels: { item: Item; box: BoxMm }[] = [];
  const extent = [view.widthMm, view.heightMm] as const;
  for (const axis of [0, 1] as const) {
    const [low, high] = axis === 0 ? [field.y0, field.y1] : [field.x0, field.x1];
    for (let k = 0; (k * context.ruledMm) / 2 <= extent[axis]; k++) {
      const at = (k * context.ruledMm) / 2;
      const [x, y] = toSheet(page, asRead(view, axis === 0 ? [at, 0] : [0, at]));
      const place = (across: number): PointMm => (axis === 0 ? [x, across] : [across, y]);
      if (!contains(field, place((low + high) / 2), 0.5)) continue;
      if (k % 2 === 0 && k > 0) {
        const end = (far: number) => asRead(view, axis === 0 ? [at, far] : [far, at]);
        const part = lineOnSheet(page, end(0), end(extent[1 - axis]!));
        if (part) grid.push(part);
      }
      ticks.push([place(low), place(low + 2.5)], [place(high), place(high - 2.5)]);
      labels.push(
        tickLabel(context, axis, at, place(low), true),
        tickLabel(context, axis, at, place(high), false),
      );
    }
  }
  const crosses = drawCrosses(context, view, page);
  const shown: typeof labels = [];
  for (const label of labels)
    if (
      containsBox(field, label.box) &&
      ![...shown.map(({ box }) => box), ...crosses.words].some((box) => overlap(box, label.box))
    )
      shown.push(label);
  const lines = (layer: string, rings: PointMm[][], stroke: Stroke): Item[] =>
    rings.length === 0 ? [] : [{ kind: "path", layer, rings, closed: false, stroke }];
  const items = [
    ...lines("GRID", grid, { widthMm: WEIGHT.hair, grey: GREY.light }),
    ...lines("FRAME", ticks, { widthMm: WEIGHT.thin, grey: GREY.dark }),
    ...crosses.items,
    ...shown.map(({ item }) => item),
    rectangle("FRAME", [field.x0, field.y0], [field.x1 - field.x0, field.y1 - field.y0], {
      stroke: { widthMm: WEIGHT.hair, grey: GREY.mid },
    }),
  ];
  return { items, words: [...crosses.words, ...shown.map(({ box }) => box)] };
}

/** Whether the whole tile is on the page, so that its own corners place it. */
export const showsWholeTile = (view: TileView, { corner: [u, v], field, shrink }: Page): boolean =>
  u <= 0 &&
  v <= 0 &&
  u + (field.x1 - field.x0) * shrink >= view.widthMm &&
  v + (field.y1 - field.y0) * shrink >= view.heightMm;

/** Where ruled lines meet on a page, mm from the datum: pricked through, they place a page without its neighbours. */
export function crossesOf(context: SheetContext, view: TileView, page: Page): PointMm[] {
  if (showsWholeTile(view, page)) return [];
  const step = context.ruledMm;
  const along = (lengthMm: number) =>
    Array.from({ length: Math.ceil(lengthMm / step) - 1 }, (_, i) => step * (i + 1));
  const [xs, ys] = [along(view.widthMm), along(view.heightMm)];
  const onPage = (places: PointMm[]) =>
    places.filter((place) => contains(page.field, toSheet(page, asRead(view, place)), CROSS_PAD_MM));
  const places = onPage(ys.flatMap((y) => xs.map((x): PointMm => [x, y])));
  if (places.length > 0 || !isRectangle(view.tile)) return places;
  // along an edge with no ruled line beside it: where the lines meet the edge
  return onPage([
    ...xs.map((x): PointMm => [x, view.heightMm]),
    ...ys.map((y): PointMm => [view.widthMm, y]),
    ...xs.map((x): PointMm => [x, 0]),
    ...ys.map((y): PointMm => [0, y]),
  ]);
}

const isRectangle = ({ box, outline }: TileView["tile"]): boolean =>
  outline
    .flat()
    .every(({ x, y }) => (x === box.minX || x === box.maxX) && (y === box.minY || y === box.maxY));

function drawCrosses(context: SheetContext, view: TileView, page: Page): { items: Item[]; words: BoxMm[] } {
  const items: Item[] = [];
  const words: BoxMm[] = [];
  const arms: PointMm[][] = [];
  const { field } = page;
  const sides = [view.widthMm, view.heightMm];
  for (const place of crossesOf(context, view, page)) {
    const [x, y] = toSheet(page, asRead(view, place));
    for (const [dx, dy] of [[CROSS_MM, 0], [0, CROSS_MM]] as const) {
      const arm = clipSegment([x - dx, y - dy], [x + dx, y + dy], field);
      if (arm) arms.push(arm);
    } // prettier-ignore
    const label = place
      .map((mm, axis) => (mm === 0 || mm === sides[axis] ? "edge" : ruledWords(context, mm)))
      .join(", ");
    const width = context.typeface.widthMm(label, FINE_MM);
    const x0 = x + 1 + width < field.x1 - 1 ? x + 1 : x - 1 - width;
    const y0 = y + 1 + FINE_MM < field.y1 - 1 ? y + 0.9 : y - 0.9 - FINE_MM * CAP_HEIGHT;
    const box = { x0, y0, x1: x0 + width, y1: y0 + FINE_MM * CAP_HEIGHT };
    items.push(
      rectangle("CROSSES", [box.x0 - 0.2, box.y0 - 0.3], [width + 0.4, box.y1 - box.y0 + 0.6], { fillGrey: GREY.white }),
      text("CROSSES", [x0, y0], label, FINE_MM),
    ); // prettier-ignore
    words.push(box, { x0: x - CROSS_MM, x1: x + CROSS_MM, y0: y - 0.3, y1: y + 0.3 }, { x0: x - 0.3, x1: x + 0.3, y0: y - CROSS_MM, y1: y + CROSS_MM }); // prettier-ignore
  }
  if (arms.length > 0)
    items.push({
      kind: "path",
      layer: "CROSSES",
      rings: arms,
      closed: false,
      stroke: { widthMm: WEIGHT.medium, grey: GREY.black },
    });
  return { items, words };
}

const containsBox = (outer: BoxMm, inner: BoxMm): boolean =>
  inner.x0 >= outer.x0 && inner.x1 <= outer.x1 && inner.y0 >= outer.y0 && inner.y1 <= outer.y1;

const overlap = (a: BoxMm, b: BoxMm): boolean => a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;

function tickLabel(
  context: SheetContext,
  axis: 0 | 1,
  at: number,
  [x, y]: PointMm,
  low: boolean,
): { item: Item; box: BoxMm } {
  const words = `${axis === 0 ? "x" : "y"} ${ruledWords(context, at)}`;
  const width = context.typeface.widthMm(words, FINE_MM);
  const height = FINE_MM * 0.75;
  const x0 = axis === 0 ? x + 0.7 : low ? x + 3 : x - 3 - width;
  const y0 = axis === 1 ? y + 0.5 : low ? y + 1 : y - 1 - height;
  return {
    item: text("FRAME", [x0, y0], words, FINE_MM, { grey: GREY.dark }),
    box: { x0, y0, x1: x0 + width, y1: y0 + height },
  };
}

/** Edge, corner brackets, datum sign and the edge of the punchable area. */
export function drawTile(view: TileView, page: Page): { items: Item[]; words: BoxMm[]; edges: BoxMm[] } {
  const { tile, side } = view;
  const edge: Stroke = { widthMm: WEIGHT.thin, grey: GREY.black };
  const usable: Stroke = { widthMm: WEIGHT.hair, grey: GREY.mid, dashMm: [1.6, 1.1] };
  const items: Item[] = [];
  const outline = ringsOnSheet(view, page, tile.outline);
  const lines = (layer: string, rings: PointMm[][], stroke: Stroke) => {
    const parts = clipRings(rings, page.field);
    if (parts.length > 0) items.push({ kind: "path", layer, rings: parts, closed: false, stroke });
  };
  lines("USABLE", ringsOnSheet(view, page, tile.usable), usable);
  lines("TILE", outline, edge);
  for (const ring of outline) items.push(...brackets(ring, page.field));
  const datum = toSheet(page, asRead(view, [0, 0]));
  const words: BoxMm[] = [];
  if (contains(page.field, datum, 2)) {
    const inwards = side === "back" ? 1 : -1;
    const stroke: Stroke = { widthMm: WEIGHT.medium, grey: GREY.black };
    const at: PointMm = [datum[0] + inwards * 3.2, datum[1] + 2.6];
    items.push({ kind: "circle", layer: "DATUM", centre: datum, radiusMm: 1.6, stroke });
    items.push(text("DATUM", at, "datum", 2.6, { bold: true, align: side === "back" ? "left" : "right" }));
    words.push({
      x0: Math.min(at[0], at[0] + inwards * 10),
      y0: at[1],
      x1: Math.max(at[0], at[0] + inwards * 10),
      y1: at[1] + 2,
    });
  }
  const edges = clipRings(outline, page.field).flatMap((part) =>
    part.slice(1).flatMap((to, i) => alongLine(part[i]!, to)),
  );
  return { items, words, edges };
}

/** At each corner of the tile two heavy strokes along its edges. Short edges are drawn whole. */
function brackets(ring: PointMm[], field: BoxMm): Item[] {
  const stroke: Stroke = { widthMm: WEIGHT.thick, grey: GREY.black };
  const parts: PointMm[][] = [];
  ring.forEach((corner, i) => {
    for (const other of [ring[(i + ring.length - 1) % ring.length]!, ring[(i + 1) % ring.length]!]) {
      const length = Math.sqrt((other[0] - corner[0]) ** 2 + (other[1] - corner[1]) ** 2);
      const share = Math.min(0.5, BRACKET_MM / length);
      const end: PointMm = [
        corner[0] + (other[0] - corner[0]) * share,
        corner[1] + (other[1] - corner[1]) * share,
      ];
      const part = clipSegment(corner, end, field);
      if (part) parts.push(part);
    }
  });
  return parts.length > 0 ? [{ kind: "path", layer: "BRACKETS", rings: parts, closed: false, stroke }] : [];
}

/** No-go zones that touch the tile: the thing itself dark, its clearance light, named. */
export function drawNoGo(
  context: SheetContext,
  view: TileView,
  page: Page,
  taken: readonly BoxMm[] = [],
): { items: Item[]; words: BoxMm[] } {
  const { typeface } = context;
  const items: Item[] = [];
  const words: BoxMm[] = [];
  for (const { source, thing: shape, withClearance } of context.zonesOn(view.tile)) {
    const rings = ringsOnSheet(view, page, withClearance);
    const hatching = hatch(rings, 2.6).flatMap(([a, b]) => clipSegment(a, b, page.field) ?? []);
    const edge = clipRings(rings, page.field);
    if (edge.length === 0 && hatching.length === 0) continue;
    const thing = clipRings(ringsOnSheet(view, page, shape), page.field);
    const pairs: PointMm[][] = [];
    for (let i = 0; i < hatching.length; i += 2) pairs.push([hatching[i]!, hatching[i + 1]!]);
    const path = (lines: PointMm[][], stroke: Stroke) => {
      if (lines.length > 0) items.push({ kind: "path", layer: "NO-GO", rings: lines, closed: false, stroke });
    };
    path(pairs, { widthMm: WEIGHT.hair, grey: GREY.mid });
    path(edge, { widthMm: WEIGHT.thin, grey: GREY.black, dashMm: [2.4, 1.2] });
    path(thing, { widthMm: WEIGHT.medium, grey: GREY.black });
    const called = [context.clean(kindWords(source.kind)), context.clean(source.name)].filter(Boolean);
    const label = `NO HOLES: ${called.join(", ")} + ${partWords(source.clearanceMm, context.plan.job.units)}`;
    const width = typeface.widthMm(label, FINE_MM, true);
    const place = labelPlace([...edge, ...pairs].flat(), width, page.field, [...taken, ...words]);
    items.push(
      rectangle("NO-GO", [place.x0, place.y0], [place.x1 - place.x0, place.y1 - place.y0], {
        fillGrey: GREY.white,
      }),
      text("NO-GO", [(place.x0 + place.x1) / 2, place.y0 + 0.8], label, FINE_MM, {
        bold: true,
        align: "centre",
      }),
    );
    words.push(place);
  }
  return { items, words };
}

/** In the middle of what is seen of a zone, kept on the field; moved aside where something stands there. */
function labelPlace(seen: PointMm[], width: number, field: BoxMm, taken: readonly BoxMm[]): BoxMm {
  const middle = (values: number[]) => (Math.min(...values) + Math.max(...values)) / 2;
  const half = width / 2 + 1;
  const x = middle(seen.map((p) => p[0]));
  const y = middle(seen.map((p) => p[1]));
  const at = ([dx, dy]: PointMm): BoxMm => {
    const centre = within(x + dx, field.x0 + half + 0.5, field.x1 - half - 0.5);
    const foot = within(y + dy, field.y0 + 2.5, field.y1 - 2.5);
    return { x0: centre - half, y0: foot - 1.8, x1: centre + half, y1: foot + 1.8 };
  };
  for (const step of ASIDE) {
    const box = at(step);
    if (!taken.some((other) => overlap(other, box))) return box;
  }
  return at([0, 0]);
}

/** Steps away from where a word would stand best, the nearest first. */
const ASIDE: readonly PointMm[] = Array.from({ length: 41 * 61 }, (_, i): PointMm => {
  return [((i % 41) - 20) * 8, (Math.floor(i / 41) - 30) * 3];
}).sort((a, b) => a[0] ** 2 + a[1] ** 2 - (b[0] ** 2 + b[1] ** 2));

const within = (value: number, least: number, most: number): number => Math.min(Math.max(value, least), most);
