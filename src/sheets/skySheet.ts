import { wordedIn } from "../job/faults.ts";
import { dateWords, clockAndPass, dateAndClock, offsetWords } from "../job/writtenTime.ts";
import { bearingWords } from "../ceiling/bearingWords.ts";
import { passOf } from "../choose/words.ts";
import { SIDE_WORDS } from "../ceiling/flip.ts";
import type { PointMm } from "../geometry/types.ts";
import { countStrands } from "../pattern/packing.ts";
import type { Hole, LostStar } from "../pattern/types.ts";
import type { Figure } from "../sky/types.ts";
import { FINE_MM, tilesWithHoles, type SheetContext } from "./context.ts";
import { holdsByTile } from "../ceiling/holds.ts";
import { stopQuestions } from "../job/stops.ts";
import { brightMoves, handWords } from "./told.ts";
import { line, rectangle, text, WEIGHT, type Drawing, type Ink, type Item } from "../drawing/drawing.ts";
import type { Paper } from "./papers.ts";
import { drawNorth, drawSkyChart } from "./skyChart.ts";
import { coordinates } from "./strip.ts";
import { fitted, wrapped } from "../drawing/words.ts";

const MARGIN = 14;
const LAYER = "TEXT";
const INK = { text: "#1b2233", soft: "#5a6478", rule: "#b9c0cd" } as const satisfies Record<string, Ink>;
const RULE = { widthMm: WEIGHT.thin, grey: 0.7, ink: INK.rule };
/** Stars named in the list of the brightest, and lines in the list of the lost. */
const BRIGHTEST_ROWS = 12;
const LOST_ROWS = 9;
/** Stars fainter than this are counted, not named, when they are lost: nobody looks for them. */
const LOST_NAMED_TO = 4;
/** Decisions by hand told here; the client pack has them all. */
const HAND_ROWS = 6;
const COMPASS = "N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW".split(" ");

/**
 * The page a client signs: the sky of this job as it will be seen looking up, what it is a sky of, what is
 * missing from it, and what a change would cost. One page of the given paper, upright; rolls as A4.
 */
export function drawSkySheet(context: SheetContext, figures: readonly Figure[], paper: Paper): Drawing {
  const { plan, clean } = context;
  const widthMm = paper.heightMm === null ? 210 : paper.widthMm;
  const heightMm = paper.heightMm ?? 297;
  const left = MARGIN;
  const right = widthMm - MARGIN;
  const top = heightMm - MARGIN;
  const waits = waitWords(context);
  const signTop = MARGIN + (waits === "" ? 35 : 44);
  const factsTop = signTop + 70;
  const chart = { x0: left, x1: right, y0: factsTop + 9, y1: top - 24 };
  const column = (right - left + 6) / 3;
  return {
    title: `Sky sheet: ${clean(plan.job.title)}`,
    widthMm,
    heightMm,
    zeroMm: [0, 0],
    items: [
      ...header(context, left, right, top),
      ...drawSkyChart(context, figures, chart),
      ...underChart(context, left, right, factsTop + 3.5),
      line(LAYER, [left, factsTop], [right, factsTop], RULE),
      ...sky(context, left, factsTop - 6, column - 6),
      ...brightest(context, left + column, factsTop - 6, column - 6),
      ...differences(context, left + 2 * column, factsTop - 6, column - 6),
      ...signing(context, left, right, signTop, waits),
    ],
  };
}

function header({ plan, clean, typeface }: SheetContext, left: number, right: number, top: number): Item[] {
  const { job, night } = plan;
  const width = right - left;
  const who = [job.client, job.room].map(clean).filter(Boolean).join(" · ");
  const stamp = `Sky sheet · revision ${job.revision}`;
  const title = clean(night.title || night.id);
  const titleSize = Math.min(6.2, Math.max(3.8, (6.2 * width * 0.72) / typeface.widthMm(title, 6.2, true)));
  return [
    text(LAYER, [left, top - 6], fitted(title, width * 0.72, titleSize, typeface, true), titleSize, {
      bold: true,
      ink: INK.text,
    }),
    text(LAYER, [left, top - 12.5], fitted(clean(job.title), width * 0.7, 3.4, typeface), 3.4, {
      ink: INK.text,
    }),
    text(LAYER, [left, top - 17.5], fitted(who, width * 0.7, 2.6, typeface), 2.6, { ink: INK.soft }),
    text(LAYER, [right, top - 5.4], stamp, 3, { align: "right", ink: INK.text, bold: true }),
    text(LAYER, [right, top - 12.5], fitted(clean(job.firm), width * 0.3, 2.6, typeface), 2.6, {
      align: "right",
      ink: INK.soft,
    }),
    line(LAYER, [left, top - 21], [right, top - 21], RULE),
  ];
}

function underChart(context: SheetContext, left: number, right: number, y: number): Item[] {
  const { whole, check } = SIDE_WORDS.face;
  return [
    text(LAYER, [left, y], `${whole}. ${check}`, FINE_MM, { ink: INK.soft }),
    ...drawNorth(context, [right - 5, y + 5.5], 4.2, INK.soft),
  ];
}

const heading = (at: PointMm, words: string): Item =>
  text(LAYER, at, words, 2.9, { bold: true, ink: INK.text });

function rows(
  { typeface }: SheetContext,
  [x, y]: PointMm,
  width: number,
  pairs: readonly (readonly [string, string])[],
): Item[] {
  const items: Item[] = [];
  let at = y;
  for (const [name, value] of pairs) {
    const lines = wrapped(value, width - 17, FINE_MM, typeface, { mostLines: 3 });
    items.push(text(LAYER, [x, at], name, FINE_MM, { ink: INK.soft }));
    for (const words of lines) {
      items.push(text(LAYER, [x + 17, at], words, FINE_MM, { ink: INK.text }));
      at -= 3.7;
    }
    if (lines.length === 0) at -= 3.7;
  }
  return items;
}

function sky(context: SheetContext, x: number, y: number, width: number): Item[] {
  const { plan, clean } = context;
  const { frame, night, pattern } = plan;
  const { instant, place } = frame;
  const pass = passOf(night.moment);
  const { azimuthDeg, altitudeDeg } = night.view;
  const point = COMPASS[((Math.round(azimuthDeg / 22.5) % 16) + 16) % 16]!;
  const view = altitudeDeg >= 89.5 ? "straight up, the zenith" : `${point}, ${altitudeDeg.toFixed(0)}° high`;
  const counts = [...new Set(pattern.holes.map((h) => h.diameterMm))].sort((a, b) => b - a);
  const sizes = counts.map(
    (d) => `${countStrands(pattern.holes.filter((h) => h.diameterMm === d))} × ${d} mm`,
  );
  const { stars, filler, faintestMagnitude } = pattern.fidelity;
  return [
    heading([x, y], "The sky"),
    ...rows(context, [x, y - 5], width, [
      ["Place", clean(place.name) || "not named"],
      ["", coordinates(place.latDeg, place.lonDeg)],
      ["Date", dateWords(instant.localIso, instant.zone)],
      ["Time", `${clockAndPass(instant.localIso, instant.zone, pass)} (${offsetWords(instant.offsetMin)})`],
      ["North", `the plan's top points to ${bearingWords(plan.job.ceiling)}`],
      ["Zone", instant.zone],
      ["UTC", dateAndClock(instant.utcIso, instant.zone)],
      [
        "Sun",
        `${frame.sun.altitudeDeg.toFixed(1).replace("-", "\u2212")}°, ${sunWords(frame.sun.altitudeDeg)}`,
      ],
      ["View", view],
      ["Strands", sizes.join(", ")],
      [
        "Stars",
        `${stars} real${faintestMagnitude === null ? "" : `, to magnitude ${faintestMagnitude.toFixed(1)}`}`,
      ],
      ["Filler", filler === 1 ? "1 hole stands for no star" : `${filler} holes stand for no star`],
    ]),
  ];
}

function sunWords(altitudeDeg: number): string {
  if (altitudeDeg >= -0.833) return "above the horizon: stars were not seen";
  return altitudeDeg >= -18 ? "twilight" : "full darkness";
}

function brightest(context: SheetContext, x: number, y: number, width: number): Item[] {
  const { plan, clean, typeface } = context;
  const shown: Hole[] = plan.pattern.holes
    .filter((h) => h.name !== "" && h.magnitude !== null)
    .sort((a, b) => a.magnitude! - b.magnitude! || a.id - b.id);
  const bodies = shown.filter((h) => h.kind !== "star");
  const stars = shown.filter((h) => h.kind === "star").slice(0, BRIGHTEST_ROWS - bodies.length);
  const items: Item[] = [
    heading([x, y], bodies.length > 0 ? "Brightest stars and planets" : "Brightest stars"),
  ];
  let at = y - 5;
  const row = (name: string, magnitude: string, tile: string, ink: Ink): void => {
    items.push(text(LAYER, [x, at], fitted(name, width - 24, FINE_MM, typeface), FINE_MM, { ink }));
    items.push(text(LAYER, [x + width - 12, at], magnitude, FINE_MM, { align: "right", ink }));
    items.push(text(LAYER, [x + width, at], tile, FINE_MM, { align: "right", ink }));
    at -= 3.7;
  };
  row("", "magnitude", "tile", INK.soft);
  for (const hole of [...bodies, ...stars])
    row(clean(hole.name), hole.magnitude!.toFixed(1).replace("-", "\u2212"), hole.tile, INK.text);
  if (shown.length === 0) row("none has a name", "", "", INK.soft);
  return items;
}

/** What still waits for somebody's word; "" where nothing does. */
function waitWords({ plan }: SheetContext): string {
  const refused: string[] = [];
  const open: string[] = [];
  for (const [tile, holds] of holdsByTile(plan.ceiling))
    (holds.some(({ state }) => state === "refused") ? refused : open).push(tile);
  const named = (tiles: readonly string[]): string =>
    `${tiles.length === 1 ? "tile" : "tiles"} ${tiles.join(", ")}`;
  const stops = stopQuestions(plan.job).length;
  const parts = [
    ...(refused.length > 0 ? [`refused for ${named(refused)}`] : []),
    ...(open.length > 0 ? [`no answer yet about ${named(open)}`] : []),
    ...(stops > 0 ? [`${stops} ${stops === 1 ? "question" : "questions"} of the survey not settled`] : []),
  ];
  return parts.length === 0 ? "" : `HOLD: ${parts.join("; ")}. Stars there may still change.`;
}

/** What was decided by hand, how far the brightest were moved, and what is missing. */
function differences(context: SheetContext, x: number, y: number, width: number): Item[] {
  const { plan, clean, typeface } = context;
  const gone = wordedIn(plan.job.units, plan.pattern.lost)
    .filter((s) => s.reason !== "merged" && s.reason !== "left out by hand")
    .sort((a, b) => a.magnitude - b.magnitude || (a.star ?? 0) - (b.star ?? 0));
  const named = gone.filter((s) => s.magnitude <= LOST_NAMED_TO);
  const items: Item[] = [];
  let at = y;
  const say = (words: string, ink: Ink): void => {
    for (const part of wrapped(words, width, FINE_MM, typeface, { mostLines: 3 })) {
      items.push(text(LAYER, [x, at], part, FINE_MM, { ink }));
      at -= 3.7;
    }
  };
  const head = (words: string): void => {
    items.push(heading([x, at], words));
    at -= 5;
  };
  const byHand = [...handWords(plan), brightMoves(plan)].filter((words) => words !== "");
  if (byHand.length > 0) {
    head("Moved, and decided by hand");
    const shown = byHand.length > HAND_ROWS ? byHand.slice(0, HAND_ROWS - 1) : byHand;
    for (const words of shown) say(clean(words), INK.text);
    if (shown.length < byHand.length)
      say(`And ${byHand.length - shown.length} more, told in the client pack.`, INK.soft);
    at -= 2;
  }
  head("Left out");
  let told = 0;
  for (const star of named.slice(0, LOST_ROWS)) {
    if (at < y - 46) break;
    told++;
    say(
      `${clean(star.name) || `HIP ${star.star}`} (${star.magnitude.toFixed(1)}): ${clean(why(star))}`,
      INK.text,
    );
  }
  if (named.length === 0)
    say(`No star of magnitude ${LOST_NAMED_TO} or brighter that falls on it is missing.`, INK.text);
  const more = gone.length - told;
  if (more > 0)
    say(`${more} fainter ${more === 1 ? "star finds" : "stars find"} no spot within reach.`, INK.soft);
  const { merged } = plan.pattern.fidelity;
  if (merged > 0) say(`${merged} close companions share a strand with a neighbour.`, INK.soft);
  return items;
}

const why = (star: LostStar): string => star.detail || star.reason;

function signing(context: SheetContext, left: number, right: number, top: number, waits: string): Item[] {
  const { plan } = context;
  const tiles = tilesWithHoles(plan).length;
  const width = right - left;
  const half = (width - 10) / 2;
  const y = MARGIN + 9;
  const place = (x: number, who: string): Item[] => [
    line(LAYER, [x, y], [x + half * 0.66, y], { widthMm: WEIGHT.medium, grey: 0.3, ink: INK.text }),
    line(LAYER, [x + half * 0.7, y], [x + half, y], { widthMm: WEIGHT.medium, grey: 0.3, ink: INK.text }),
    text(LAYER, [x, y - 3.4], who, FINE_MM, { ink: INK.soft }),
    text(LAYER, [x + half * 0.7, y - 3.4], "Date", FINE_MM, { ink: INK.soft }),
  ];
  const change = `A change of date, time, place or view after signing means new templates for ${tiles} tiles.`;
  return [
    rectangle(LAYER, [left, top - 11], [width, 8.4], { fillInk: "#eef1f6" }),
    text(LAYER, [left + 3, top - 7.9], change, 3, { bold: true, ink: INK.text }),
    ...(waits === ""
      ? []
      : [
          rectangle(LAYER, [left, top - 20], [width, 7.4], { fillInk: INK.text }),
          text(LAYER, [left + 3, top - 17.3], fitted(waits, width - 6, 2.8, context.typeface, true), 2.8, {
            bold: true,
            ink: "#ffffff",
          }),
        ]),
    ...place(left, "For the client: this is the sky we want"),
    ...place(left + half + 10, "For the installer"),
    text(
      LAYER,
      [left, MARGIN],
      `Velarium · revision ${plan.job.revision} · seed ${plan.job.pattern.seed}`,
      FINE_MM,
      {
        ink: INK.soft,
      },
    ),
    text(LAYER, [right, MARGIN], "Local codes and licensed trades decide what may be built.", FINE_MM, {
      align: "right",
      ink: INK.soft,
    }),
  ];
}
