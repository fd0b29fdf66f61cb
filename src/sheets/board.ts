import type { NightFacts } from "../choose/facts.ts";
import type { PointMm } from "../geometry/types.ts";
import { line, rectangle, text, type Drawing, type Ink, type Item } from "./drawing.ts";
import type { Typeface } from "./typeface.ts";
import { fitted, wrapped } from "./words.ts";

/** Pages a board is made for: paper on the wall, and a screen. */
export const BOARD_FORMATS = {
  A3: { widthMm: 420, heightMm: 297 },
  "16:9": { widthMm: 338.667, heightMm: 190.5 },
} as const;
export type BoardFormat = keyof typeof BOARD_FORMATS;

/** One night of the board: its facts and its picture (PNG or JPEG) from the common seat. */
export interface BoardNight {
  facts: NightFacts;
  picture: Uint8Array;
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
} as const satisfies Record<string, Ink>;
const LAYER = "BOARD";

interface Row {
  name: string;
  words: (facts: NightFacts) => string;
}
const MOST_LINES = 3;

const listed = (names: readonly string[]): string =>
  names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
const percent = (share: number): string => `${Math.round(100 * share)} %`;
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

function lostWords({ lostBright }: NightFacts): string {
  const names = lostBright.slice(0, 4).map((s) => s.name || `HIP ${s.star}`);
  const more = lostBright.length - names.length;
  if (names.length === 0) return "None of magnitude 3 or brighter";
  return more > 0 ? `${names.join(", ")} and ${more} more` : listed(names);
}

const ROWS: readonly Row[] = [
  { name: "Overhead", words: (f) => listed(f.overhead) || "No whole figure" },
  { name: "Moon, planets", words: bodyWords },
  { name: "Milky Way", words: (f) => `Crosses ${percent(f.milkyWayShare)} of the ceiling` },
  { name: "Lost to fittings", words: lostWords },
  {
    name: "True to the sky",
    words: (f) =>
      `${percent(f.lightKept)} of its light kept; ${f.figuresWhole} of ${f.figuresOnCeiling} figures whole; bright stars moved ${f.brightMovedMm.toFixed(0)} mm on average`,
  },
  {
    name: "Strands",
    words: (f) =>
      `${f.holes} (${f.strands.map((s) => `${s.count} × ${s.diameterMm} mm`).join(", ")}), ${f.filler} of them filler`,
  },
  {
    name: "Punching",
    words: (f) =>
      `${Math.round(f.punchingHours.from)} to ${Math.round(f.punchingHours.to)} hours at 60 to 120 holes an hour, ${f.tiles} tiles`,
  },
];

/** Two to four nights side by side, dark, each with its picture and the facts that decide. */
export function drawBoard(
  nights: readonly BoardNight[],
  words: BoardWords,
  format: BoardFormat,
  typeface: Typeface,
  pictureAspect: number,
): Drawing {
  const page = BOARD_FORMATS[format];
  const unit = page.heightMm / 190.5;
  const margin = 13 * unit;
  const gap = 7 * unit;
  const names = 27 * unit;
  const column = (page.widthMm - 2 * margin - names - gap * (nights.length - 1)) / nights.length;
  const size = (nights.length > 3 ? 2.25 : 2.6) * unit;
  const leading = size * 1.42;
  const cells = ROWS.map((row) =>
    nights.map(({ facts }) => wrapped(row.words(facts), column, size, typeface, { mostLines: MOST_LINES })),
  );
  const rowHeights = cells.map((row) => Math.max(...row.map((lines) => lines.length)) * leading + size * 1.2);
  const factsHeight = rowHeights.reduce((sum, h) => sum + h, 0);
  const titles = nights.map(({ facts }) =>
    wrapped(facts.title, column, 3.9 * unit, typeface, { bold: true, mostLines: 2 }),
  );
  const titleLines = Math.max(...titles.map((lines) => lines.length));
  const captionHeight = (14 + 5 * titleLines) * unit;
  const headTop = page.heightMm - margin;
  const pictureTop = headTop - 17 * unit;
  const footer = margin + 4 * unit;
  const room = pictureTop - captionHeight - factsHeight - footer;
  const pictureHeight = Math.min(room, column / pictureAspect);
  const pictureWidth = Math.min(column, pictureHeight * pictureAspect);
  const captionTop = pictureTop - pictureHeight - 6.6 * unit;
  // Where the pictures can't fill the page, the facts still hang from its foot.
  const factsTop = Math.min(pictureTop - pictureHeight - captionHeight, footer + factsHeight + 12 * unit);
  const left = margin + names;
  const right = page.widthMm - margin;
  const rule = { widthMm: 0.18 * unit, grey: 0.1, ink: INK.rule };
  const items: Item[] = [
    rectangle(LAYER, 0, 0, page.widthMm, page.heightMm, { fillInk: INK.page }),
    text(
      LAYER,
      [margin, headTop - 5 * unit],
      fitted(words.title, (right - margin) * 0.62, 6.4 * unit, typeface, true),
      6.4 * unit,
      {
        bold: true,
        ink: INK.title,
      },
    ),
    text(
      LAYER,
      [margin, headTop - 10.6 * unit],
      fitted(words.who, (right - margin) * 0.62, 2.8 * unit, typeface),
      2.8 * unit,
      {
        ink: INK.soft,
      },
    ),
    text(LAYER, [right, headTop - 4.6 * unit], `${nights.length} nights, one ceiling`, 3.2 * unit, {
      align: "right",
      ink: INK.gold,
    }),
    text(LAYER, [right, headTop - 10.6 * unit], words.view, 2.8 * unit, { align: "right", ink: INK.soft }),
  ];
  nights.forEach((night, i) => {
    const x = left + i * (column + gap);
    items.push(...picture(night, [x, pictureTop - pictureHeight], pictureWidth, pictureHeight, unit));
    items.push(...caption(night.facts, titles[i]!, [x, captionTop], column, unit, typeface));
  });
  let y = factsTop;
  ROWS.forEach((row, r) => {
    items.push(line(LAYER, [margin, y], [right, y], rule));
    const base = y - size * 1.45;
    items.push(text(LAYER, [margin, base], row.name, size, { ink: INK.soft }));
    cells[r]!.forEach((lines, i) =>
      lines.forEach((part, k) =>
        items.push(
          text(LAYER, [left + i * (column + gap), base - k * leading], part, size, { ink: INK.text }),
        ),
      ),
    );
    y -= rowHeights[r]!;
  });
  items.push(
    line(LAYER, [margin, y], [right, y], rule),
    text(LAYER, [margin, margin - 2 * unit], `Velarium · revision ${words.revision}`, 2 * unit, {
      ink: INK.soft,
    }),
    text(
      LAYER,
      [right, margin - 2 * unit],
      "Pictures computed from the planned holes of each night, one exposure for all. Hours: common practice, no source.",
      2 * unit,
      { align: "right", ink: INK.soft },
    ),
  );
  return { title: `${words.title}: nights side by side`, ...page, zeroMm: [0, 0], items };
}

function picture(night: BoardNight, at: PointMm, widthMm: number, heightMm: number, unit: number): Item[] {
  return [
    { kind: "image", layer: LAYER, at, widthMm, heightMm, bytes: night.picture },
    rectangle(LAYER, at[0], at[1], widthMm, heightMm, {
      stroke: { widthMm: 0.2 * unit, grey: 0.2, ink: INK.frame },
    }),
  ];
}

function caption(
  facts: NightFacts,
  title: readonly string[],
  [x, y]: PointMm,
  width: number,
  unit: number,
  typeface: Typeface,
): Item[] {
  const [date = "", time = ""] = facts.localIso.split("T");
  const when = `${date}, ${time.slice(0, 5)} · Sun ${facts.sunAltitudeDeg.toFixed(0).replace("-", "\u2212")}°`;
  const below = y - 5 * unit * title.length;
  return [
    ...title.map((part, i) =>
      text(LAYER, [x, y - 5 * unit * i], part, 3.9 * unit, { bold: true, ink: INK.title }),
    ),
    text(LAYER, [x, below], fitted(when, width, 2.7 * unit, typeface), 2.7 * unit, { ink: INK.gold }),
    text(LAYER, [x, below - 4 * unit], fitted(facts.place, width, 2.5 * unit, typeface), 2.5 * unit, {
      ink: INK.soft,
    }),
  ];
}
