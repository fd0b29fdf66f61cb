import { dateAndClock, offsetWords } from "../job/writtenTime.ts";
import type { Code } from "../job/codes.ts";
import type { Warning } from "../job/faults.ts";
import type { Place } from "../job/sections/sky.ts";
import { frameAt } from "./frame.ts";
import { instantOnClock, terrestrialTime } from "./time.ts";
import type { Instant, SkyFrame } from "./types.ts";

/** Altitudes of the Sun's centre, without refraction, that part the day (rising: refraction and radius, USNO). */
export const SUN_LEVELS_DEG = { horizon: -0.833, civil: -6, nautical: -12, astronomical: -18 } as const;
export type SunLevel = keyof typeof SUN_LEVELS_DEG;

const STEP_DAYS = 1 / 144;
const DAYS_PER_SECOND = 1 / 86_400;
/** The mean Sun runs up to 16 minutes from the true one: so much higher the Sun may stand at mean midnight. */
const MEAN_MIDNIGHT_SLACK_DEG = 0.2;
const LONGEST_SEARCH_DAYS = 366;

/** Altitude of the Sun's centre in degrees at a place and a Julian date in UT, without refraction. */
export function sunAltitudeDeg(like: Instant, place: Place, jdUt: number): number {
  const instant = { ...like, jdUt, jdTt: terrestrialTime(jdUt) };
  return frameAt(instant, place, { refraction: false, extinction: false, bodies: false }).sun.altitudeDeg;
}

/** Time at which `altitude` crosses `level` between two times on either side of it, to a second. */
function crossing(altitude: (jd: number) => number, level: number, from: number, to: number): number {
  const rising = altitude(to) > level;
  let [low, high] = [from, to];
  while (high - low > DAYS_PER_SECOND / 2) {
    const middle = (low + high) / 2;
    if (altitude(middle) > level === rising) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

/** One night, from noon to noon by the mean Sun. Null where the Sun does not pass that level on that side. */
export interface NightEvents {
  /** Going down: sunset and the ends of evening twilight. */
  evening: Record<SunLevel, Instant | null>;
  /** Coming up: the beginnings of morning twilight and sunrise. */
  morning: Record<SunLevel, Instant | null>;
  /** The Sun's lowest altitude of the night; above -18 the night never gets dark. */
  lowestSunDeg: number;
  lowest: Instant;
}

/** The events of the night (noon to noon) in which a frame's moment lies. */
export function nightEvents(frame: SkyFrame): NightEvents {
  const { instant, place } = frame;
  const altitude = (jd: number) => sunAltitudeDeg(instant, place, jd);
  const noon = Math.floor(instant.jdUt + place.lonDeg / 360) - place.lonDeg / 360;
  const lowestJd = lowestBetween(altitude, noon, noon + 1);
  const side = (from: number, to: number) =>
    Object.fromEntries(
      Object.entries(SUN_LEVELS_DEG).map(([name, level]) => {
        const passes = altitude(from) > level !== altitude(to) > level;
        return [name, passes ? instantOnClock(instant, crossing(altitude, level, from, to)) : null];
      }),
    ) as Record<SunLevel, Instant | null>;
  return {
    evening: side(noon, lowestJd),
    morning: side(lowestJd, noon + 1),
    lowestSunDeg: altitude(lowestJd),
    lowest: instantOnClock(instant, lowestJd),
  };
}

function lowestBetween(altitude: (jd: number) => number, from: number, to: number): number {
  let best = from;
  let bestAltitude = Infinity;
  for (let jd = from; jd <= to; jd += STEP_DAYS) {
    const value = altitude(jd);
    if (value < bestAltitude) [best, bestAltitude] = [jd, value];
  }
  let [low, high] = [Math.max(from, best - STEP_DAYS), Math.min(to, best + STEP_DAYS)];
  while (high - low > DAYS_PER_SECOND) {
    const third = (high - low) / 3;
    if (altitude(low + third) < altitude(high - third)) high -= third;
    else low += third;
  }
  return (low + high) / 2;
}

/** The last dark moment before a frame's and the first one after it: Sun below -18 degrees. */
export interface DarkTimes {
  darkNow: boolean;
  /** Null when it is dark now, or for a year on that side never was. */
  before: Instant | null;
  after: Instant | null;
}

export function nearestDark(frame: SkyFrame): DarkTimes {
  const { instant, place, sun } = frame;
  if (sun.altitudeDeg < SUN_LEVELS_DEG.astronomical) return { darkNow: true, before: null, after: null };
  const altitude = (jd: number) => sunAltitudeDeg(instant, place, jd);
  const find = (direction: 1 | -1) => {
    const jd = darkEdge(altitude, instant.jdUt, place.lonDeg, direction);
    return jd === null ? null : instantOnClock(instant, jd);
  };
  return { darkNow: false, before: find(-1), after: find(1) };
}

function darkEdge(
  altitude: (jd: number) => number,
  start: number,
  lonDeg: number,
  direction: 1 | -1,
): number | null {
  const level = SUN_LEVELS_DEG.astronomical;
  const midnight = Math.round(start + lonDeg / 360 + 0.5) - 0.5 - lonDeg / 360;
  for (let day = -1; day <= LONGEST_SEARCH_DAYS; day++) {
    const middle = midnight + day * direction;
    if (altitude(middle) > level + MEAN_MIDNIGHT_SLACK_DEG) continue;
    const lowest = lowestBetween(altitude, middle - 0.1, middle + 0.1);
    if (altitude(lowest) > level || (lowest - start) * direction < 0) continue;
    // From the night's depth back towards the start, to the edge of the dark.
    let inside = lowest;
    while ((inside - start) * direction > 0 && altitude(inside) <= level) inside -= STEP_DAYS * direction;
    const outside = (inside - start) * direction > 0 ? inside : start;
    return crossing(altitude, level, Math.min(outside, lowest), Math.max(outside, lowest));
  }
  return null;
}

const TWILIGHTS: { above: number; code: Code; what: string }[] = [
  { above: SUN_LEVELS_DEG.horizon, code: "sun-is-up", what: "the Sun is up and no star would be seen" },
  { above: SUN_LEVELS_DEG.civil, code: "civil-twilight", what: "civil twilight shows planets at most" },
  {
    above: SUN_LEVELS_DEG.nautical,
    code: "nautical-twilight",
    what: "nautical twilight hides fainter stars",
  },
  {
    above: SUN_LEVELS_DEG.astronomical,
    code: "astronomical-twilight",
    what: "astronomical twilight hides the faintest stars",
  },
];

function clockTime(instant: Instant): string {
  return `${dateAndClock(instant.localIso, instant.zone)} (${offsetWords(instant.offsetMin)})`;
}

/**
 * Daylight or twilight at a frame's moment, with the nearest dark times, and nights that never get dark.
 * `path` is the moment's place in the document.
 */
export function darknessWarnings(frame: SkyFrame, path: string): Warning[] {
  const { sun, instant } = frame;
  const twilight = TWILIGHTS.find(({ above }) => sun.altitudeDeg > above);
  if (!twilight) return [];
  const { before, after } = nearestDark(frame);
  const dark = [
    before ? `; it was last dark at ${clockTime(before)}` : "",
    after ? `; it is next dark at ${clockTime(after)}` : "",
  ].join("");
  const warnings: Warning[] = [
    {
      code: twilight.code,
      message:
        `At ${clockTime(instant)} the Sun's altitude is ${sun.altitudeDeg.toFixed(1)}°: ` +
        `${twilight.what}${dark}.`,
      path,
    },
  ];
  const { lowestSunDeg } = nightEvents(frame);
  if (lowestSunDeg > SUN_LEVELS_DEG.astronomical) {
    warnings.push({
      code: "never-dark",
      message: `This night never gets quite dark there: the Sun sinks no lower than ${lowestSunDeg.toFixed(1)}°.`,
      path,
    });
  }
  return warnings;
}
