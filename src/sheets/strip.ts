import { SIDE_WORDS, type Side } from "../ceiling/flip.ts";
import type { PointMm } from "../geometry/types.ts";
import { BAR_WORDS, drawBar } from "./bars.ts";
import { drawCompass, wallAbove } from "./bearings.ts";
import type { BoxMm } from "../drawing/clip.ts";
import { diameterWords, tenths, type SheetContext, type TileHoles } from "./context.ts";
import { GREY, WEIGHT, line, rectangle, text, type Item } from "../drawing/drawing.ts";
import { drawMark, reachMm } from "./marks.ts";
import type { Page } from "./pages.ts";
import { asRead, fromDatum, viewOf } from "./view.ts";
import { fitted, wrapped } from "../drawing/words.ts";

const LAYER = "TEXT";
/** From the strip's top to the rule above the bar. */
const JOB_BLOCK_MM = 37;
const RULE = { widthMm: WEIGHT.thin, grey: GREY.mid };

/** Everything that the strip at a page's foot says. */
export interface StripFacts {
  part: TileHoles;
  side: Side;
  page: Page;
  /** Of the tile's pages; 1-based. */
  number: number;
  pages: Page[];
  /** Place of this sheet in the whole pack, e.g. "sheet 12 of 214"; "" for a single drawing. */
  inPack: string;
}

/** The strip: tile, side, R, wall, legend, job and sky, page map, bar, cautions. `box` is its free room. */
export function drawStrip(context: SheetContext, facts: StripFacts, box: BoxMm): Item[] {
  const { x0, y0, x1 } = box;
  const top = y0 + 50;
  const mapWidth = 28;
  const items: Item[] = [
    ...frameLine(context, facts, [x0, y0 + 51.6], x1 - x0),
    ...nameBlock(context, facts, [x0, top], 42),
    ...bearingsBlock(context, facts, [x0 + 44, top], 30),
    ...legendBlock(context, facts, [x0 + 78, top], 46),
    ...jobBlock(context, facts, [x0 + 127, top], x1 - x0 - 127 - mapWidth - 3),
    ...mapBlock(facts, [x1 - mapWidth, top], mapWidth),
    ...drawBar([x0 + 0.5, y0 + 6], false),
    text(LAYER, [x0 + 154, y0 + 8.4], BAR_WORDS, 2.3, { bold: true }),
    text(LAYER, [x0 + 154, y0 + 5.4], "measure both bars first;", 2, { grey: GREY.dark }),
    text(LAYER, [x0 + 154, y0 + 2.9], "print at actual size, 100 %", 2, { grey: GREY.dark }),
    line(LAYER, [x0, y0 + 12.6], [x1, y0 + 12.6], RULE),
  ];
  const cautions = "Read the cautions in overview.pdf first. Local codes and licensed practice decide.";
  items.push(text(LAYER, [x0, y0 + 1], cautions, 2, { grey: GREY.dark }));
  if (facts.inPack !== "")
    items.push(text(LAYER, [x1, y0 + 0.2], facts.inPack, 2, { align: "right", grey: GREY.dark }));
  return items;
}

/** Where the frame lies, in numbers: the register of pages that carry no corner of the tile. */
function frameLine(
  context: SheetContext,
  { page, side, part }: StripFacts,
  at: PointMm,
  width: number,
): Item[] {
  const view = viewOf(part.tile, side);
  const [u, v] = page.corner;
  const [left] = fromDatum(view, [u, v]);
  const [right] = fromDatum(view, [u + page.field.x1 - page.field.x0, v]);
  const words =
    `Frame from the datum corner, mm: left ${tenths(left)}, right ${tenths(right)}, ` +
    `lower ${tenths(v)}, upper ${tenths(v + (page.field.y1 - page.field.y0))}. ` +
    `Grey lines every 100 mm. Tape to the tile's own edges, not to the next page.`;
  return [text(LAYER, at, fitted(words, width, 2.1, context.typeface), 2.1, { grey: GREY.dark })];
}

function nameBlock(
  { typeface }: SheetContext,
  { part, side }: StripFacts,
  [x, top]: PointMm,
  width: number,
): Item[] {
  const { tile } = part;
  const words = SIDE_WORDS[side];
  let size = 17;
  while (size > 6 && typeface.widthMm(tile.name, size, true) > width) size -= 0.5;
  return [
    text(LAYER, [x - 0.8, top - 12.6], tile.name, size, { bold: true }),
    text(LAYER, [x, top - 20.6], words.flag, 7, { bold: true }),
    text(LAYER, [x, top - 24.8], words.read, 3.4, { bold: true }),
    ...wrapped(words.check, width, 2, typeface).map((check, i) =>
      text(LAYER, [x, top - 28 - i * 2.7], check, 2, { grey: GREY.dark }),
    ),
    text(LAYER, [x, top - 33.4], tileWords(part), 2, { grey: GREY.dark }),
    text(LAYER, [x, top - 36.1], "datum: lower left corner from above", 2, { grey: GREY.dark }),
  ];
}

function tileWords({ tile }: TileHoles): string {
  const width = (tile.box.maxX - tile.box.minX) / 1000;
  const height = (tile.box.maxY - tile.box.minY) / 1000;
  return `tile ${+width.toFixed(2)} \u00D7 ${+height.toFixed(2)} mm${tile.cut ? ", cut" : ""}`;
}

function bearingsBlock(context: SheetContext, facts: StripFacts, [x, top]: PointMm, width: number): Item[] {
  const { plan, typeface } = context;
  const thick = { widthMm: WEIGHT.thick, grey: GREY.black };
  const wall = context.clean(wallAbove(plan, facts.part.tile));
  const arrowX = x + 2.4;
  const lines = wrapped(`to ${wall}`, width - 6.5, 2.8, typeface, { bold: true, mostLines: 3 });
  return [
    rectangle(LAYER, x, top - 17.5, 14, 17, { stroke: { widthMm: WEIGHT.thin, grey: GREY.black } }),
    text(LAYER, [x + 7, top - 15.1], "R", 18, { bold: true, align: "centre" }),
    ...drawCompass(plan, facts.side, [x + 23.4, top - 9.2], 6),
    line(LAYER, [arrowX, top - 34.8], [arrowX, top - 25], thick),
    {
      kind: "path",
      layer: LAYER,
      rings: [
        [
          [arrowX, top - 21.5],
          [arrowX - 1.9, top - 26.2],
          [arrowX + 1.9, top - 26.2],
        ],
      ],
      closed: true,
      fillGrey: GREY.black,
    },
    ...lines.map((words, i) => text(LAYER, [x + 6.5, top - 25.4 - i * 3.6], words, 2.8, { bold: true })),
  ];
}

function legendBlock(
  context: SheetContext,
  { part, page, pages }: StripFacts,
  [x, top]: PointMm,
  width: number,
): Item[] {
  const { styles, typeface } = context;
  const used = [...styles].filter(([diameter]) => part.holes.some((hole) => hole.diameterMm === diameter));
  const step = Math.min(5.6, 23 / used.length);
  const size = Math.min(2.8, step * 0.62);
  const onPage = new Set(page.points);
  const items: Item[] = [
    text(LAYER, [x, top - 2.2], "strand", 2, { grey: GREY.dark }),
    text(LAYER, [x + 33, top - 2.2], pages.length > 1 ? "page" : "", 2, { grey: GREY.dark, align: "right" }),
    text(LAYER, [x + width, top - 2.2], "tile", 2, { grey: GREY.dark, align: "right" }),
    line(LAYER, [x, top - 3.2], [x + width, top - 3.2], RULE),
  ];
  const row = (y: number, label: string, here: number, all: number, bold: boolean) => {
    items.push(text(LAYER, [x + 7.5, y], label, size, { bold }));
    if (pages.length > 1) items.push(text(LAYER, [x + 33, y], String(here), size, { align: "right", bold }));
    items.push(text(LAYER, [x + width, y], String(all), size, { align: "right", bold }));
  };
  used.forEach(([diameter, style], i) => {
    const y = top - 3.2 - step * (i + 1) + step * 0.3;
    const fit = Math.min(1, (step * 0.46) / reachMm({ ...style, scale: 1 }));
    items.push(
      ...drawMark([x + 2.8, y + size * 0.36], diameter, { ...style, scale: fit }).map((item) => ({
        ...item,
        layer: LAYER,
      })),
    );
    const here = part.holes.filter((hole, index) => hole.diameterMm === diameter && onPage.has(index)).length;
    const all = part.holes.filter((hole) => hole.diameterMm === diameter).length;
    row(y, diameterWords(diameter), here, all, false);
  });
  const foot = top - 3.2 - step * used.length;
  items.push(line(LAYER, [x, foot], [x + width, foot], RULE));
  row(foot - size - 0.4, "holes", page.points.length, part.holes.length, true);
  const engines = [...new Set(part.holes.map((hole) => context.engineOf(hole)))].filter(Boolean).sort();
  const engine =
    engines.length > 0 ? `engine ${engines.map(context.clean).join(", ")}` : "engine: not yet assigned";
  const filler = part.holes.some((hole) => hole.kind === "filler");
  items.push(
    text(LAYER, [x, top - 34.8], fitted(engine, width, 2.3, typeface), 2.3, {}),
    ...(filler
      ? [text(LAYER, [x, top - 31.8], "12f: filler, not a star of the sky", 2, { grey: GREY.dark })]
      : []),
  );
  return items;
}

function jobBlock(context: SheetContext, { part }: StripFacts, [x, top]: PointMm, width: number): Item[] {
  const { plan, typeface, clean } = context;
  const { job, night, frame } = plan;
  const { instant, place } = frame;
  // What tells one sheet from another comes first; what finds no room at the foot is on the overview.
  const rows: [words: string, size: number, bold: boolean][] = [
    [job.title, 2.9, true],
    [`revision ${job.revision}`, 2.9, true],
    [night.title, 2.3, true],
    [[place.name, coordinates(place.latDeg, place.lonDeg)].filter(Boolean).join(", "), 2.1, false],
    [`${instant.localIso.slice(0, 19).replace("T", " ")} ${instant.localIso.slice(19)}`, 2.1, false],
    [instant.zone, 2.1, false],
    [`UTC ${instant.utcIso.replace("T", " ").replace("Z", "")}`, 2.1, false],
    [part.tile.why, 2.1, false],
    [[job.client, job.room].filter(Boolean).join(", "), 2.1, false],
    [job.firm, 2.1, false],
  ];
  let y = top;
  return rows
    .flatMap(([words, size, bold]) =>
      wrapped(clean(words), width, size, typeface, { bold, mostLines: 2 }).map(
        (part) => [part, size, bold] as const,
      ),
    )
    .flatMap(([words, size, bold]) => {
      y -= size * 1.42;
      if (y < top - JOB_BLOCK_MM) return [];
      return text(LAYER, [x, y + size * 0.3], fitted(words, width, size, typeface, bold), size, { bold });
    });
}

/** 52.50 N, 13.40 E. */
export function coordinates(latDeg: number, lonDeg: number): string {
  const part = (value: number, letters: string) =>
    `${Math.abs(value).toFixed(2)}\u00B0 ${letters[value < 0 ? 1 : 0]}`;
  return `${part(latDeg, "NS")} ${part(lonDeg, "EW")}`;
}

/** The tile with its pages; this one black. */
function mapBlock({ part, page, number, pages, side }: StripFacts, [x, top]: PointMm, width: number): Item[] {
  const view = viewOf(part.tile, side);
  const { widthMm: tileWidth, heightMm: tileHeight } = view;
  const room = { width: width - 2, height: 27 };
  const scale = Math.min(room.width / tileWidth, room.height / tileHeight);
  const left = x + (width - tileWidth * scale) / 2;
  const foot = top - 34.6 + (room.height - tileHeight * scale) / 2;
  const thin = { widthMm: WEIGHT.thin, grey: GREY.dark };
  const onMap = ({ corner, field }: Page): BoxMm => ({
    x0: left + Math.max(0, corner[0]) * scale,
    y0: foot + Math.max(0, corner[1]) * scale,
    x1: left + Math.min(tileWidth, corner[0] + field.x1 - field.x0) * scale,
    y1: foot + Math.min(tileHeight, corner[1] + field.y1 - field.y0) * scale,
  });
  const items: Item[] = [
    text(LAYER, [x + width, top - 3], `page ${number} of ${pages.length}`, 3.6, {
      bold: true,
      align: "right",
    }),
  ];
  const here = onMap(page);
  const box = (b: BoxMm, look: Parameters<typeof rectangle>[5]) =>
    rectangle(LAYER, b.x0, b.y0, b.x1 - b.x0, b.y1 - b.y0, look);
  if (pages.length > 1) {
    items.push(box(here, { fillGrey: 0.8 }));
    for (const other of pages)
      items.push(box(onMap(other), { stroke: { widthMm: WEIGHT.hair, grey: GREY.mid } }));
    pages.forEach((other, i) => {
      const b = onMap(other);
      items.push(
        text(LAYER, [(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2 - 0.9], String(i + 1), i + 1 === number ? 3 : 2.2, {
          align: "centre",
          bold: i + 1 === number,
          grey: i + 1 === number ? GREY.black : GREY.dark,
        }),
      );
    });
  }
  items.push(rectangle(LAYER, left, foot, tileWidth * scale, tileHeight * scale, { stroke: thin }));
  const datumX = left + asRead(view, [0, 0])[0] * scale;
  items.push({ kind: "circle", layer: LAYER, centre: [datumX, foot], radiusMm: 0.9, fillGrey: GREY.black });
  return items;
}
