import type { LengthUnits } from "../job/units.ts";
import { dateAndClock } from "../job/writtenTime.ts";
import type { NightFacts } from "../choose/facts.ts";
import { NIGHT_ROWS, type NightRow } from "../choose/nightRows.ts";
import type { PointMm } from "../geometry/types.ts";
import { line, rectangle, text, type Drawing, type Ink, type Item } from "../drawing/drawing.ts";
import type { Typeface } from "../drawing/typeface.ts";
import { fitted, wrapped } from "../drawing/words.ts";

/** Pages a board is made for: paper on the wall, and a screen. */
export const BOARD_FORMATS = {
  A3: { widthMm: 420, heightMm: 297 },
  "16:9": { widthMm: 338.667, heightMm: 190.5 },
} as const;
export type BoardFormat = keyof typeof BOARD_FORMATS;

/** A few words and faint lines over a picture. Points from its top left corner, 0 to 1 across and down. */
export interface BoardMarks {
  lines: readonly (readonly [PointMm, PointMm])[];
  names: readonly { text: string; at: PointMm }[];
}

/** One night of the board: its facts and its picture (PNG or JPEG) from the common seat. */
export interface BoardNight {
  facts: NightFacts;
  picture: Uint8Array;
  marks?: BoardMarks;
}

/** Width over height of the pictures on a board, from the ceiling's own shape. */
export function boardPictureAspect(ceilingAspect: number): number {
  return Math.min(1.78, Math.max(1.2, ceilingAspect));
}

export interface BoardWords {
  title: string;
  /** Client, room. */
  who: string;
  /** Seat and dimmer, in words. */
  view: string;
  revision: number;
  units: LengthUnits;
}

const INK = {
  page: "#06080e",
  frame: "#242c3d",
  rule: "#1a2130",
  title: "#f2f4f8",
  text: "#d4dae6",
  soft: "#8a94a8",
  gold: "#d9bf8c",
  figure: "#35476f",
  name: "#9fb0cf",
} as const satisfies Record<string, Ink>;
const LAYER = "BOARD";
const PICTURES =
  "Pictures computed from the planned holes, one exposure for all; star colours as filters or separate engines give them. Hours: common practice, no source.";

const MOST_LINES = 6;
/** Size of the installer's facts over the client's. */
const SMALLER = 0.8;
const LEADING = 1.42;
/** Sizes of a board's facts that are tried, largest first, in units of the page. */
const FACT_SIZES = [3.4, 3.2, 3, 2.8, 2.6, 2.4, 2.25];
/** Least width of the facts beside a picture, in units of the page. */
const FACTS_WIDE = 78;

/** Facts set at one size in a column of one width: alike on every page, row under row. */
interface Facts {
  rows: readonly NightRow[];
  size: number;
  width: number;
  labelWidth: number;
  /** Lines of each night's rows. */
  cells: string[][][];
  heights: number[];
  height: number;
}

function setFacts(
  nights: readonly BoardNight[],
  rows: readonly NightRow[],
  width: number,
  size: number,
  { typeface, units }: { typeface: Typeface; units: LengthUnits },
): Facts {
  const told = rows.filter((row) => nights.some(({ facts }) => row.words(facts, units) !== ""));
  const labelWidth = Math.max(...told.map((row) => typeface.widthMm(row.name, size))) + 1.3 * size;
  const cells = told.map((row) =>
    nights.map(({ facts }) =>
      wrapped(row.words(facts, units) || "–", width - labelWidth, size, typeface, { mostLines: MOST_LINES }),
    ),
  );
  const heights = cells.map(
    (cell) => Math.max(...cell.map((lines) => lines.length)) * size * LEADING + 0.9 * size,
  );
  return { rows: told, size, width, labelWidth, cells, heights, height: heights.reduce((a, b) => a + b, 0) };
}

const forClient = NIGHT_ROWS.filter((row) => !row.forInstaller);
const forInstaller = NIGHT_ROWS.filter((row) => row.forInstaller);

/**
 * A page for every night, dark: its picture as large as the page allows, beside it its name and what a client asks,
 * beneath what an installer asks. Everything stands at the same place on every page, to be laid side by side.
 */
export function drawBoard(
  nights: readonly BoardNight[],
  words: BoardWords,
  format: BoardFormat,
  typeface: Typeface,
  pictureAspect: number,
): Drawing[] {
  const page = BOARD_FORMATS[format];
  const unit = page.heightMm / 190.5;
  const margin = 11 * unit;
  const gap = 7 * unit;
  const width = page.widthMm - 2 * margin;
  const top = page.heightMm - margin - 14 * unit;
  const tall = top - margin - 2.5 * unit;
  const pictureWidth = Math.min(width - gap - FACTS_WIDE * unit, tall * pictureAspect);
  const pictureHeight = pictureWidth / pictureAspect;
  const column = width - gap - pictureWidth;
  const titleSize = 4.4 * unit;
  const titles = nights.map(({ facts }) =>
    wrapped(facts.title, column, titleSize, typeface, { bold: true, mostLines: 3 }),
  );
  const captionHeight = (17 + 5.6 * Math.max(...titles.map((lines) => lines.length))) * unit;
  // what an installer asks goes beneath the picture where there is room, else beneath what a client asks
  const how = { typeface, units: words.units };
  const set = FACT_SIZES.map((size) => {
    const beneath = setFacts(nights, forInstaller, pictureWidth, SMALLER * size * unit, how);
    const fits = beneath.height + gap / 2 <= tall - pictureHeight;
    const own = setFacts(nights, forClient, column, size * unit, how);
    const installer = fits ? beneath : setFacts(nights, forInstaller, column, SMALLER * size * unit, how);
    return {
      own,
      installer,
      fits,
      height: captionHeight + own.height + (fits ? 0 : installer.height + gap / 2),
    };
  });
  const { own, installer, fits } = set.find(({ height }) => height <= tall) ?? set[set.length - 1]!;
  const right = page.widthMm - margin;
  const x = margin + pictureWidth + gap;
  return nights.map((night, i): Drawing => {
    const at: PointMm = [margin, top - pictureHeight];
    const factsTop = top - captionHeight;
    return {
      title: `${words.title}: ${night.facts.title}`,
      ...page,
      zeroMm: [0, 0],
      items: [
        rectangle(LAYER, [0, 0], [page.widthMm, page.heightMm], { fillInk: INK.page }),
        ...heading({
          words,
          night: i,
          count: nights.length,
          corner: [margin, page.heightMm - margin],
          right,
          unit,
          typeface,
        }),
        ...picture(night, { at, widthMm: pictureWidth, heightMm: pictureHeight }, unit, typeface),
        ...caption({
          facts: night.facts,
          title: titles[i]!,
          titleSize,
          corner: [x, top - titleSize],
          width: column,
          unit,
          typeface,
        }),
        ...factColumn(own, i, [x, factsTop], unit),
        ...factColumn(
          installer,
          i,
          fits ? [margin, at[1] - gap / 2] : [x, factsTop - own.height - gap / 2],
          unit,
        ),
        text(LAYER, [margin, margin - 4 * unit], `Velarium · revision ${words.revision}`, 2 * unit, {
          ink: INK.soft,
        }),
        text(LAYER, [right, margin - 4 * unit], PICTURES, 2 * unit, { align: "right", ink: INK.soft }),
      ],
    };
  });
}

function heading({
  words,
  night,
  count,
  corner: [left, top],
  right,
  unit,
  typeface,
}: {
  words: BoardWords;
  night: number;
  count: number;
  corner: PointMm;
  right: number;
  unit: number;
  typeface: Typeface;
}): Item[] {
  const width = (right - left) * 0.62;
  const title = fitted(words.title, width, 6.4 * unit, typeface, true);
  const who = fitted(words.who, width, 2.8 * unit, typeface);
  const soft = { ink: INK.soft };
  return [
    text(LAYER, [left, top - 4.6 * unit], title, 6.4 * unit, { bold: true, ink: INK.title }),
    text(LAYER, [left, top - 9.8 * unit], who, 2.8 * unit, soft),
    text(LAYER, [right, top - 4.6 * unit], `Night ${night + 1} of ${count}, one ceiling`, 3.2 * unit, {
      align: "right",
      ink: INK.gold,
    }),
    text(LAYER, [right, top - 9.8 * unit], words.view, 2.8 * unit, { align: "right", ...soft }),
  ];
}

function factColumn(
  { rows, size, width, labelWidth, cells, heights }: Facts,
  night: number,
  [x, top]: PointMm,
  unit: number,
): Item[] {
  const rule = { widthMm: 0.18 * unit, grey: 0.1, ink: INK.rule };
  const items: Item[] = [];
  let y = top;
  rows.forEach((row, r) => {
    const base = y - size * 1.4;
    items.push(
      line(LAYER, [x, y], [x + width, y], rule),
      text(LAYER, [x, base], row.name, size, { ink: INK.soft }),
      ...cells[r]![night]!.map((part, k) =>
        text(LAYER, [x + labelWidth, base - k * size * LEADING], part, size, {
          ink: row.forInstaller ? INK.soft : row.warns ? INK.gold : INK.text,
        }),
      ),
    );
    y -= heights[r]!;
  });
  return items;
}

function picture(
  night: BoardNight,
  { at, widthMm, heightMm }: { at: PointMm; widthMm: number; heightMm: number },
  unit: number,
  typeface: Typeface,
): Item[] {
  const place = ([x, y]: PointMm): PointMm => [at[0] + x * widthMm, at[1] + (1 - y) * heightMm];
  const { lines = [], names = [] } = night.marks ?? {};
  const size = 2 * unit;
  return [
    { kind: "image", layer: LAYER, at, widthMm, heightMm, bytes: night.picture },
    ...lines.flatMap(([from, to]) => figureLine(place(from), place(to), unit)),
    ...names.map((name): Item => {
      const [x, y] = place(name.at);
      const width = typeface.widthMm(name.text, size);
      const before = x + 1.6 * unit + width > at[0] + widthMm;
      return text(LAYER, [before ? x - 1.6 * unit : x + 1.6 * unit, y - 2.6 * unit], name.text, size, {
        ink: INK.name,
        ...(before ? { align: "right" as const } : {}),
      });
    }),
    rectangle(LAYER, [at[0], at[1]], [widthMm, heightMm], {
      stroke: { widthMm: 0.2 * unit, grey: 0.2, ink: INK.frame },
    }),
  ];
}

/** A line that stops short of both its stars; none where they are too near. */
function figureLine(from: PointMm, to: PointMm, unit: number): Item[] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const short = unit / length;
  if (short > 0.35) return [];
  const between = (t: number): PointMm => [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])];
  return [
    line(LAYER, between(short), between(1 - short), { widthMm: 0.14 * unit, grey: 0.25, ink: INK.figure }),
  ];
}

function caption({
  facts,
  title,
  titleSize,
  corner: [x, y],
  width,
  unit,
  typeface,
}: {
  facts: NightFacts;
  title: readonly string[];
  titleSize: number;
  corner: PointMm;
  width: number;
  unit: number;
  typeface: Typeface;
}): Item[] {
  const when = `${dateAndClock(facts.localIso, facts.zone, facts.pass)} · Sun ${facts.sunAltitudeDeg.toFixed(0).replace("-", "\u2212")}°`;
  const below = y - 5.6 * unit * title.length;
  return [
    ...title.map((part, i) =>
      text(LAYER, [x, y - 5.6 * unit * i], part, titleSize, { bold: true, ink: INK.title }),
    ),
    text(LAYER, [x, below], fitted(when, width, 2.7 * unit, typeface), 2.7 * unit, { ink: INK.gold }),
    text(LAYER, [x, below - 4 * unit], fitted(facts.place, width, 2.5 * unit, typeface), 2.5 * unit, {
      ink: INK.soft,
    }),
  ];
}
