import { issueOf } from "../issue/make.ts";
import { passOf } from "../choose/words.ts";
import { dateAndClock, typedDate } from "../job/writtenTime.ts";
import { SIDE_WORDS, type Side } from "../ceiling/flip.ts";
import type { PointMm } from "../geometry/types.ts";
import { partWords } from "../job/units.ts";
import { printerScale } from "../drawing/pdf.ts";
import { barFor, barWords, drawBar } from "./bars.ts";
import { drawCompass, wallAbove } from "./bearings.ts";
import type { BoxMm } from "../drawing/clip.ts";
import { countStrands } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import { diameterWords, FINE_MM, type SheetContext, type TileHoles } from "./context.ts";
import { GREY, WEIGHT, line, rectangle, text, type Item } from "../drawing/drawing.ts";
import { showsWholeTile } from "./field.ts";
import { drawMark, reachMm } from "./marks.ts";
import type { Page } from "./pages.ts";
import { runs } from "./pack/words.ts";
import { asRead, viewOf } from "./view.ts";
import { fitted, wrapped } from "../drawing/words.ts";

const LAYER = "TEXT";
/** From the blocks' top to the rule above the bar. */
const JOB_BLOCK_MM = 38;
const RULE = { widthMm: WEIGHT.thin, grey: GREY.mid };
const SOFT = { grey: GREY.dark };

/** Everything that the strip at a page's foot says. */
export interface StripFacts {
  part: TileHoles;
  side: Side;
  page: Page;
  /** Of the tile's pages; 1-based. */
  number: number;
  pages: Page[];
  /** Holes of the tile that are on no sheet. */
  listed: readonly Hole[];
  /** Place of this sheet in the whole pack, e.g. "sheet 12 of 214"; "" for a single drawing. */
  inPack: string;
}

/** The strip: how the page is placed, tile, side, R, wall, legend, job and sky, page map, bar, cautions. */
export function drawStrip(context: SheetContext, facts: StripFacts, box: BoxMm): Item[] {
  const { x0, y0, x1 } = box;
  const top = y0 + 51.2;
  const mapWidth = 28;
  const foot =
    facts.listed.length > 0
      ? `On no sheet, measured from coordinates.pdf: ${runs(facts.listed.map((hole) => hole.numberInTile))}. Cautions: overview.pdf.`
      : "Read the cautions in overview.pdf first. Local codes and licensed practice decide.";
  const reduced = facts.page.shrink > 1;
  const barMm = barFor(x1 - x0);
  return [
    ...methodLines(context, facts, [x0, y0 + 58.3], x1 - x0),
    ...nameBlock(context, facts, [x0, top], 42),
    ...bearingsBlock(context, facts, [x0 + 44, top], 30),
    ...legendBlock(context, facts, [x0 + 77, top], 42),
    ...jobBlock(context, facts.part.tile.name, [x0 + 122, top], x1 - x0 - 122 - mapWidth - 3),
    ...mapBlock(facts, [x1 - mapWidth, top], mapWidth),
    line(LAYER, [x0, y0 + 12.8], [x1, y0 + 12.8], RULE),
    ...(reduced
      ? checkWords(context, facts, [x0, y0 + 9.3], x1 - x0)
      : [
          ...drawBar([x0 + 0.5, y0 + 6.2], false, barMm),
          ...scaleWords(context, facts.page, barMm, [x0 + barMm + 4, y0 + 9.3], x1 - x0 - barMm - 4),
        ]),
    text(LAYER, [x0, y0 + 0.9], fitted(foot, 150, FINE_MM, context.typeface), FINE_MM, SOFT),
  ];
}

/** How a page finds its place on the tile, or that it must wait. */
function methodLines(context: SheetContext, facts: StripFacts, [x, y]: PointMm, width: number): Item[] {
  const { part, side, page } = facts;
  const holds = context.holds.get(part.tile.name);
  const hold = holds && `HOLD, do not punch. ${holds.map((one) => `${one.name}: ${one.why}`).join("; ")}`;
  const check = page.shrink > 1 && `CHECK SHEET, ${scaleOf(page)}: not for punching.`;
  if (hold || check) return band(context, [check, hold].filter(Boolean).join(" "), [x, y], width);
  const every = partWords(context.ruledMm, context.plan.job.units);
  const words = showsWholeTile(viewOf(part.tile, side), page)
    ? "Lay the heavy brackets on the tile's own corners, never on a tee. Tape, punch every mark through its dot, count."
    : `Rule lines on the tile every ${every} from its datum edges. Lay this page by the tile's edges and by its crosses: each stands where two lines meet, at the distances beside it; prick it through. ` +
      "Tape, punch, take the page off before the next. Where it must stay, trim it along the frame.";
  return wrapped(words, width, FINE_MM, context.typeface, { mostLines: 2 }).map((row, i) =>
    text(LAYER, [x, y - 1.2 - i * 3.3], row, FINE_MM),
  );
}

/** "1 : 3.5" */
const scaleOf = ({ shrink }: Page): string => `1 : ${shrink}`;

/** White on black, where the method stands otherwise: nothing is punched while it is there. */
function band(context: SheetContext, words: string, [x, y]: PointMm, width: number): Item[] {
  const { typeface } = context;
  const clean = context.clean(words);
  const look = { bold: true, grey: GREY.white };
  const box = rectangle(LAYER, [x, y - 6], [width, 6.8], { fillGrey: GREY.black });
  if (typeface.widthMm(clean, 3.2, true) <= width - 3)
    return [box, text(LAYER, [x + 1.5, y - 3.8], clean, 3.2, look)];
  const rows = wrapped(clean, width - 3, FINE_MM, typeface, { bold: true, mostLines: 2 });
  const first = rows.length > 1 ? 2 : 3.6;
  return [box, ...rows.map((row, i) => text(LAYER, [x + 1.5, y - first - i * 3.1], row, FINE_MM, look))];
}

/** How a finished tile is compared with its check sheet; there is nothing to measure on it. */
function checkWords(
  { typeface }: SheetContext,
  { page }: StripFacts,
  [x, y]: PointMm,
  width: number,
): Item[] {
  const words =
    `Scale ${scaleOf(page)}: measure nothing on this sheet. Hold it beside the finished tile, both seen from below, the arrow to its wall: ` +
    "the same constellations, the same count, no mirror image.";
  return wrapped(words, width, FINE_MM, typeface, { mostLines: 2 }).map((row, i) =>
    text(LAYER, [x, y - i * 3.4], row, FINE_MM),
  );
}

/** What the bar must measure, and for which printer the sheet was corrected. */
function scaleWords(
  { plan, typeface, clean }: SheetContext,
  { scale }: Page,
  barMm: number,
  [x, y]: PointMm,
  width: number,
): Item[] {
  const { printer, paper } = plan.job.sheets;
  const { short, long } = printerScale(printer);
  const [across, along] = paper.startsWith("Roll") ? ["across", "along"] : ["short side", "long"];
  const rows =
    scale.x === 1 && scale.y === 1
      ? ["measure both bars first;", "print at actual size, 100 %"]
      : [
          `corrected for ${clean(printer.name) || "one printer"}:`,
          `${across} \u00D7${short.toFixed(4)}, ${along} \u00D7${long.toFixed(4)}`,
        ];
  return [
    text(LAYER, [x, y], barWords(barMm), FINE_MM, { bold: true }),
    ...rows.map((row, i) =>
      text(LAYER, [x, y - 3.4 * (i + 1)], fitted(row, width, FINE_MM, typeface), FINE_MM, SOFT),
    ),
  ];
}

function nameBlock(
  context: SheetContext,
  { part, side }: StripFacts,
  [x, top]: PointMm,
  width: number,
): Item[] {
  const { typeface } = context;
  const { tile } = part;
  const words = SIDE_WORDS[side];
  let size = 16;
  while (size > 6 && typeface.widthMm(tile.name, size, true) > width) size -= 0.5;
  const datum = side === "back" ? "datum: lower left corner" : "datum: lower right corner";
  const rows = [
    ...wrapped(words.check, width, FINE_MM, typeface, { mostLines: 2 }),
    tileWords(context, part),
    datum,
  ];
  return [
    text(LAYER, [x - 0.8, top - 11.8], tile.name, size, { bold: true }),
    text(LAYER, [x, top - 19.4], words.flag, 7, { bold: true }),
    text(LAYER, [x, top - 23.6], words.read, 3.4, { bold: true }),
    ...rows.map((row, i) =>
      text(LAYER, [x, top - 27.4 - i * 3.2], fitted(row, width, FINE_MM, typeface), FINE_MM, SOFT),
    ),
  ];
}

function tileWords({ plan }: SheetContext, { tile }: TileHoles): string {
  const size = [tile.box.maxX - tile.box.minX, tile.box.maxY - tile.box.minY].map((um) =>
    partWords(Math.round(um / 100) / 10, plan.job.units).replace(/ mm$/, ""),
  );
  return `${size.join(" \u00D7 ")}${plan.job.units === "ft-in" ? "" : " mm"}${tile.cut ? ", cut" : ""}`;
}

function bearingsBlock(context: SheetContext, facts: StripFacts, [x, top]: PointMm, width: number): Item[] {
  const { plan, typeface } = context;
  const thick = { widthMm: WEIGHT.thick, grey: GREY.black };
  const wall = context.clean(wallAbove(plan, facts.part.tile));
  const arrowX = x + 2.4;
  const lines = wrapped(`to ${wall}`, width - 6.5, 2.8, typeface, { bold: true, mostLines: 3 });
  return [
    rectangle(LAYER, [x, top - 17.5], [14, 17], { stroke: { widthMm: WEIGHT.thin, grey: GREY.black } }),
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
  const step = Math.min(5.6, 22 / used.length);
  const size = Math.max(FINE_MM, Math.min(2.8, step * 0.62));
  const onPage = new Set(page.points);
  const items: Item[] = [
    text(LAYER, [x, top - 2.2], "strands", FINE_MM, SOFT),
    text(LAYER, [x + 29, top - 2.2], pages.length > 1 ? "page" : "", FINE_MM, { ...SOFT, align: "right" }),
    text(LAYER, [x + width, top - 2.2], "tile", FINE_MM, { ...SOFT, align: "right" }),
    line(LAYER, [x, top - 3.4], [x + width, top - 3.4], RULE),
  ];
  const row = (y: number, label: string, here: number, all: number, bold: boolean) => {
    items.push(text(LAYER, [x + 7.5, y], label, size, { bold }));
    if (pages.length > 1) items.push(text(LAYER, [x + 29, y], String(here), size, { align: "right", bold }));
    items.push(text(LAYER, [x + width, y], String(all), size, { align: "right", bold }));
  };
  used.forEach(([diameter, style], i) => {
    const y = top - 3.4 - step * (i + 1) + step * 0.3;
    const fit = Math.min(1, (step * 0.46) / reachMm({ ...style, scale: 1 }));
    items.push(
      ...drawMark(
        [x + 2.8, y + size * 0.36],
        { diameterMm: diameter, strands: 1 },
        { ...style, scale: fit },
      ).map((item) => ({
        ...item,
        layer: LAYER,
      })),
    );
    const own = part.holes.filter((hole) => hole.diameterMm === diameter);
    const here = countStrands(own.filter((hole) => onPage.has(part.holes.indexOf(hole))));
    const all = countStrands(own);
    row(y, diameterWords(diameter), here, all, false);
  });
  const foot = top - 3.4 - step * used.length;
  items.push(line(LAYER, [x, foot], [x + width, foot], RULE));
  row(foot - size - 0.4, "holes", page.points.length, part.holes.length, true);
  const engine = engineWords(context, part);
  const filler = part.holes.find((hole, i) => hole.kind === "filler" && onPage.has(i));
  const rows = [filler ? `${filler.numberInTile}f: filler, not a star of the sky` : "", engine];
  items.push(
    ...rows.map((words, i) =>
      text(
        LAYER,
        [x, top - 34 - i * 3.3],
        fitted(words, width, FINE_MM, typeface),
        FINE_MM,
        i === 0 ? SOFT : {},
      ),
    ),
  );
  return items;
}

/** "engine A, none for 3": an engine that is full leaves holes without light. */
function engineWords({ plan, engineOf, clean }: SheetContext, { holes }: TileHoles): string {
  const letters = holes.map((hole) => engineOf(hole));
  const engines = [...new Set(letters)].filter(Boolean).sort();
  if (engines.length === 0)
    return plan.job.bundles.engines.length > 0 ? "engine: none for this tile" : "engine: not yet assigned";
  const without = letters.filter((letter) => letter === "").length;
  return `engine ${engines.map(clean).join(", ")}${without > 0 ? `, none for ${without}` : ""}`;
}

/** What ISO 7200 asks of a title block: owner, title, revision, date of issue, maker, approval; and the sky. */
function jobBlock(context: SheetContext, tile: string, [x, top]: PointMm, width: number): Item[] {
  const { plan, typeface, clean } = context;
  const { job, night, frame } = plan;
  const { localIso, zone } = frame.instant;
  const issue = issueOf(plan, tile);
  const { number, issuedOn, drawnBy, approvedBy } = job.sheets.titleBlock;
  // What tells one sheet from another comes first; what finds no room at the foot is on the overview.
  const rows: (readonly [words: string, size: number, bold: boolean, lines: number])[] = [
    [job.title, 2.9, true, 2],
    [`revision ${issue.revision}${number === "" ? "" : `, no. ${number}`}`, 2.9, true, 1],
    [`issued ${typedDate(issue.on || issuedOn, zone) || BLANK}`, FINE_MM, false, 1],
    [`drawn ${drawnBy || BLANK}`, FINE_MM, false, 1],
    [`approved ${approvedBy || BLANK}`, FINE_MM, false, 1],
    [job.firm, FINE_MM, false, 2],
    [issue.sky, FINE_MM, true, 2],
    // of a sky that is no longer the job's, only the title is known
    ...(issue.sky === night.title
      ? [
          [frame.place.name, FINE_MM, false, 2] as const,
          [dateAndClock(localIso, zone, passOf(night.moment)), FINE_MM, false, 1] as const,
        ]
      : []),
    [[job.client, job.room].filter(Boolean).join(", "), FINE_MM, false, 2],
  ];
  let y = top;
  return rows.flatMap(([words, size, bold, mostLines]) => {
    const lines = wrapped(clean(words), width, size, typeface, { bold, mostLines });
    if (y - lines.length * size * LEADING < top - JOB_BLOCK_MM) return [];
    return lines.map((part) => {
      y -= size * LEADING;
      return text(LAYER, [x, y + size * 0.3], part, size, { bold });
    });
  });
}

const LEADING = 1.36;

/** To be written by hand where the job doesn't say. */
const BLANK = "______________";

/** 52.50 N, 13.40 E. */
export function coordinates(latDeg: number, lonDeg: number): string {
  const part = (value: number, letters: string) =>
    `${Math.abs(value).toFixed(2)}\u00B0 ${letters[value < 0 ? 1 : 0]}`;
  return `${part(latDeg, "NS")} ${part(lonDeg, "EW")}`;
}

/** The tile with its pages; this one black. */
function mapBlock(
  { part, page, number, pages, side, inPack }: StripFacts,
  [x, top]: PointMm,
  width: number,
): Item[] {
  const view = viewOf(part.tile, side);
  const { widthMm: tileWidth, heightMm: tileHeight } = view;
  const room = { width: width - 2, height: 26 };
  const scale = Math.min(room.width / tileWidth, room.height / tileHeight);
  const left = x + (width - tileWidth * scale) / 2;
  const foot = top - 35 + (room.height - tileHeight * scale) / 2;
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
    ...(inPack === ""
      ? []
      : [text(LAYER, [x + width, top - 6.6], inPack, FINE_MM, { ...SOFT, align: "right" })]),
  ];
  const here = onMap(page);
  const box = (b: BoxMm, look: Parameters<typeof rectangle>[3]) =>
    rectangle(LAYER, [b.x0, b.y0], [b.x1 - b.x0, b.y1 - b.y0], look);
  const partly = here.x1 - here.x0 < tileWidth * scale || here.y1 - here.y0 < tileHeight * scale;
  if (pages.length > 1 || partly) {
    items.push(box(here, { fillGrey: 0.8 }));
    for (const other of pages)
      items.push(box(onMap(other), { stroke: { widthMm: WEIGHT.hair, grey: GREY.mid } }));
    const placed: PointMm[] = [];
    // this page first: where pages overlap, a neighbour goes without its number
    for (const i of [number - 1, ...pages.keys()]) {
      const b = onMap(pages[i]!);
      const [x, y] = [(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2];
      if (placed.some(([px, py]) => Math.abs(px - x) < 4 && Math.abs(py - y) < 3)) continue;
      placed.push([x, y]);
      const here = i === number - 1;
      items.push(
        text(LAYER, [x, y - 0.9], String(i + 1), here ? 3 : FINE_MM, {
          align: "centre",
          bold: here,
          grey: here ? GREY.black : GREY.dark,
        }),
      );
    }
  }
  items.push(rectangle(LAYER, [left, foot], [tileWidth * scale, tileHeight * scale], { stroke: thin }));
  const datumX = left + asRead(view, [0, 0])[0] * scale;
  items.push({ kind: "circle", layer: LAYER, centre: [datumX, foot], radiusMm: 0.9, fillGrey: GREY.black });
  return items;
}
