import type { NightFacts } from "../choose/facts.ts";
import { clockAndPass, dateOf, listed, lostWords, percent } from "../choose/words.ts";
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

/**
 * Width over height of the pictures on a board of so many nights, from the ceiling's own shape: two nights
 * leave room for wide pictures.
 */
export function boardPictureAspect(nights: number, ceilingAspect: number): number {
  return Math.min(1.78, Math.max(nights > 2 ? 1.2 : 1.6, ceilingAspect));
}

export interface BoardWords {
  title: string;
  /** Client, room. */
  who: string;
  /** Seat and dimmer, in words. */
  view: string;
  revision: number;
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

interface Row {
  name: string;
  /** Beneath what a client asks, smaller. */
  forInstaller?: true;
  words: (facts: NightFacts) => string;
}
const MOST_LINES = 4;
const MOST_FIGURES = 3;
/** Size of the installer's facts over the client's. */
const SMALLER = 0.8;
const sizeOf = (row: Row, size: number): number => (row.forInstaller ? SMALLER * size : size);
const LEADING = 1.42;

const capital = (words: string): string => words[0]!.toUpperCase() + words.slice(1);

function bodyWords({ bodies }: NightFacts): string {
  if (bodies.length === 0) return "None above the horizon";
  return listed(
    bodies.map((b) => {
      const lit = b.name === "moon" ? `, ${percent(b.lit)} lit` : "";
      return `${capital(b.name)}${lit}${b.onCeiling ? "" : " (up, not on the ceiling)"}`;
    }),
  );
}

const ROWS: readonly Row[] = [
  { name: "Figures", words: (f) => f.standing.slice(0, MOST_FIGURES).join("; ") || "No whole figure" },
  { name: "Moon, planets", words: bodyWords },
  { name: "Milky Way", words: (f) => `Crosses ${percent(f.milkyWayShare)} of the ceiling` },
  { name: "Missing", words: (f) => `To fittings: ${lostWords(f)}` },
  {
    name: "True to it",
    forInstaller: true,
    words: (f) =>
      `${percent(f.lightKept)} of its light kept; ${f.figuresWhole} of ${f.figuresOnCeiling} figures whole; bright stars moved ${f.brightMovedMm.toFixed(0)} mm on average`,
  },
  {
    name: "Strands",
    forInstaller: true,
    words: (f) =>
      `${f.holes} (${f.strands.map((s) => `${s.count} × ${s.diameterMm} mm`).join(", ")}), ${f.filler} of them filler`,
  },
  {
    name: "Punching",
    forInstaller: true,
    words: (f) =>
      `${Math.round(f.punchingHours.from)} to ${Math.round(f.punchingHours.to)} hours at 60 to 120 holes an hour, ${f.tiles} tiles`,
  },
];

/** Sizes of a board's facts that are tried, largest first, in units of the page. */
const FACT_SIZES = [3, 2.8, 2.6, 2.4, 2.25];

interface Facts {
  size: number;
  labelWidth: number;
  cells: string[][][];
  heights: number[];
  height: number;
}

/** The facts of all nights set at one size: the same rows at the same height in every column. */
function setFacts(nights: readonly BoardNight[], column: number, size: number, typeface: Typeface): Facts {
  const labelWidth = Math.max(...ROWS.map((row) => typeface.widthMm(row.name, size))) + 1.3 * size;
  const cells = ROWS.map((row) =>
    nights.map(({ facts }) =>
      wrapped(row.words(facts), column - labelWidth, sizeOf(row, size), typeface, { mostLines: MOST_LINES }),
    ),
  );
  const heights = cells.map((cell, r) => {
    const rowSize = sizeOf(ROWS[r]!, size);
    return Math.max(...cell.map((lines) => lines.length)) * rowSize * LEADING + 1.1 * rowSize;
  });
  return { size, labelWidth, cells, heights, height: heights.reduce((sum, h) => sum + h, 0) };
}

/**
 * Two to four nights side by side, dark: each a column of its picture, its name and the facts that decide. The
 * pictures are as large as the columns or the page allow, the facts as large as is left.
 */
export function drawBoard(
  nights: readonly BoardNight[],
  words: BoardWords,
  format: BoardFormat,
  typeface: Typeface,
  pictureAspect: number,
): Drawing {
  const page = BOARD_FORMATS[format];
  const unit = page.heightMm / 190.5;
  const margin = 11 * unit;
  const gap = 7 * unit;
  const column = (page.widthMm - 2 * margin - gap * (nights.length - 1)) / nights.length;
  const titleSize = (nights.length > 3 ? 3.4 : 4) * unit;
  const titles = nights.map(({ facts }) =>
    wrapped(facts.title, column, titleSize, typeface, { bold: true, mostLines: 2 }),
  );
  const captionHeight = (14 + 5 * Math.max(...titles.map((lines) => lines.length))) * unit;
  const pictureTop = page.heightMm - margin - 14 * unit;
  const below = pictureTop - captionHeight - (margin + 2.5 * unit);
  const sizes = FACT_SIZES.map((size) => setFacts(nights, column, size * unit, typeface));
  const facts =
    sizes.find(({ height }) => height + column / pictureAspect <= below) ?? sizes[sizes.length - 1]!;
  const pictureHeight = Math.min(below - facts.height, column / pictureAspect);
  const pictureWidth = pictureHeight * pictureAspect;
  // What is left over is shared out between the rows.
  const loose = Math.min((below - facts.height - pictureHeight) / ROWS.length, 1.6 * facts.size);
  const right = page.widthMm - margin;
  const items: Item[] = [
    rectangle(LAYER, 0, 0, page.widthMm, page.heightMm, { fillInk: INK.page }),
    ...heading(words, nights.length, [margin, page.heightMm - margin], right, unit, typeface),
  ];
  nights.forEach((night, i) => {
    const x = margin + i * (column + gap);
    const at: PointMm = [x, pictureTop - pictureHeight];
    const captionTop = at[1] - 6.6 * unit;
    items.push(
      ...picture(night, at, pictureWidth, pictureHeight, unit, typeface),
      ...caption(night.facts, titles[i]!, titleSize, [x, captionTop], column, unit, typeface),
      ...factColumn(facts, i, [x, at[1] - captionHeight], column, loose, unit),
    );
  });
  items.push(
    text(LAYER, [margin, margin - 4 * unit], `Velarium · revision ${words.revision}`, 2 * unit, {
      ink: INK.soft,
    }),
    text(LAYER, [right, margin - 4 * unit], PICTURES, 2 * unit, { align: "right", ink: INK.soft }),
  );
  return { title: `${words.title}: nights side by side`, ...page, zeroMm: [0, 0], items };
}

function heading(
  words: BoardWords,
  count: number,
  [left, top]: PointMm,
  right: number,
  unit: number,
  typeface: Typeface,
): Item[] {
  const width = (right - left) * 0.62;
  const title = fitted(words.title, width, 6.4 * unit, typeface, true);
  const who = fitted(words.who, width, 2.8 * unit, typeface);
  const soft = { ink: INK.soft };
  return [
    text(LAYER, [left, top - 4.6 * unit], title, 6.4 * unit, { bold: true, ink: INK.title }),
    text(LAYER, [left, top - 9.8 * unit], who, 2.8 * unit, soft),
    text(LAYER, [right, top - 4.6 * unit], `${count} nights, one ceiling`, 3.2 * unit, {
      align: "right",
      ink: INK.gold,
    }),
    text(LAYER, [right, top - 9.8 * unit], words.view, 2.8 * unit, { align: "right", ...soft }),
  ];
}

function factColumn(
  { size, labelWidth, cells, heights }: Facts,
  night: number,
  [x, top]: PointMm,
  column: number,
  loose: number,
  unit: number,
): Item[] {
  const rule = { widthMm: 0.18 * unit, grey: 0.1, ink: INK.rule };
  const items: Item[] = [];
  let y = top;
  ROWS.forEach((row, r) => {
    const rowSize = sizeOf(row, size);
    const base = y - rowSize * 1.4 - loose / 2;
    items.push(
      line(LAYER, [x, y], [x + column, y], rule),
      text(LAYER, [x, base], row.name, rowSize, { ink: INK.soft }),
      ...cells[r]![night]!.map((part, k) =>
        text(LAYER, [x + labelWidth, base - k * rowSize * LEADING], part, rowSize, {
          ink: row.forInstaller ? INK.soft : INK.text,
        }),
      ),
    );
    y -= heights[r]! + loose;
  });
  return items;
}

function picture(
  night: BoardNight,
  at: PointMm,
  widthMm: number,
  heightMm: number,
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
    rectangle(LAYER, at[0], at[1], widthMm, heightMm, {
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

function caption(
  facts: NightFacts,
  title: readonly string[],
  titleSize: number,
  [x, y]: PointMm,
  width: number,
  unit: number,
  typeface: Typeface,
): Item[] {
  const when = `${dateOf(facts.localIso)}, ${clockAndPass(facts.localIso, facts.pass)} · Sun ${facts.sunAltitudeDeg.toFixed(0).replace("-", "\u2212")}°`;
  const below = y - 5 * unit * title.length;
  return [
    ...title.map((part, i) =>
      text(LAYER, [x, y - 5 * unit * i], part, titleSize, { bold: true, ink: INK.title }),
    ),
    text(LAYER, [x, below], fitted(when, width, 2.7 * unit, typeface), 2.7 * unit, { ink: INK.gold }),
    text(LAYER, [x, below - 4 * unit], fitted(facts.place, width, 2.5 * unit, typeface), 2.5 * unit, {
      ink: INK.soft,
    }),
  ];
}
