import type { PointMm } from "../geometry/types.ts";
import { CannotDo, JobFaults, type Fault } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import type { Moment, Place, View } from "../job/sections/sky.ts";
import { resolveMoment } from "../sky/time.ts";
import type { BodyName, Catalog, Instant } from "../sky/types.ts";

/** What a client wishes for: where, between which hours, and what must be on the ceiling. */
export interface Wish {
  place: Place;
  /** Zone in which the hours below are told. */
  zone: string;
  /** First and last moment, `YYYY-MM-DDTHH:MM` by the clock; at most 24 hours apart. */
  fromLocal: string;
  toLocal: string;
  /** Minutes from one time tried to the next. */
  stepMin?: number;
  /** IAU abbreviations: these figures whole on the ceiling. */
  constellations?: string[];
  bodies?: BodyName[];
  /** Over which wall each of these constellations is to stand, by abbreviation: index into the outline's walls. */
  overWalls?: Record<string, number>;
  /** Degrees the constellations may be turned from upright, 1 to 180, as seen from the seat; unset: turned as may be. */
  mostTurnedDeg?: number;
  /** Where the eye is that judges walls and uprightness, on the plan. Default: the job's first seat, else the middle. */
  seatMm?: PointMm;
  /** The Milky Way on the ceiling, and along this wall: index into the outline's walls. */
  milkyWay?: boolean;
  milkyWayAlongWall?: number;
  /** Only with the Sun lower than -18 degrees. Default true. */
  dark?: boolean;
  /** View directions to try. Default: the zenith, and eight directions at two heights. */
  views?: Pick<View, "azimuthDeg" | "altitudeDeg">[];
  /** Degrees from one turn of the picture to the next. Default 1: 360 turns. */
  turnStepDeg?: number;
  /** How many proposals to settle and return. Default 5. */
  proposals?: number;
}

const MINUTE_DAYS = 1 / 1440;
const LONGEST_WINDOW_HOURS = 24;
const DEFAULT_STEP_MIN = 15;

export const ALL_VIEWS: NonNullable<Wish["views"]> = [
  { azimuthDeg: 0, altitudeDeg: 90 },
  ...[70, 50].flatMap((altitudeDeg) =>
    [0, 45, 90, 135, 180, 225, 270, 315].map((azimuthDeg) => ({ azimuthDeg, altitudeDeg })),
  ),
];

function fault(path: string, expected: string, got: unknown, next: string): Fault {
  return { path: `wish.${path}`, expected, got: JSON.stringify(got) ?? "nothing", next };
}

/** Every fault of a wish at once. */
export function checkWish(wish: Wish, job: Pick<Job, "ceiling">, catalog: Pick<Catalog, "figures">): void {
  const faults: Fault[] = [];
  const known = new Set(catalog.figures.map((figure) => figure.abbreviation));
  wish.constellations?.forEach((abbreviation, i) => {
    if (!known.has(abbreviation))
      faults.push(
        fault(`constellations[${i}]`, "an IAU abbreviation such as Ori", abbreviation, "Check its spelling."),
      );
  });
  const walls = job.ceiling.outlineMm.length;
  const along = wish.milkyWayAlongWall;
  if (along !== undefined && !(Number.isInteger(along) && along >= 0 && along < walls))
    faults.push(
      fault("milkyWayAlongWall", `a wall from 0 to ${walls - 1}`, along, "Name a wall of the outline."),
    );
  for (const [abbreviation, wall] of Object.entries(wish.overWalls ?? {})) {
    if (!wish.constellations?.includes(abbreviation))
      faults.push(
        fault(
          `overWalls.${abbreviation}`,
          "one of the wished constellations",
          abbreviation,
          "Wish for it too.",
        ),
      );
    if (!(Number.isInteger(wall) && wall >= 0 && wall < walls))
      faults.push(
        fault(
          `overWalls.${abbreviation}`,
          `a wall from 0 to ${walls - 1}`,
          wall,
          "Name a wall of the outline.",
        ),
      );
  }
  const turned = wish.mostTurnedDeg ?? 180;
  if (!(turned >= 1 && turned <= 180))
    faults.push(fault("mostTurnedDeg", "1 to 180 degrees", turned, "Say how far it may lean."));
  const step = wish.stepMin ?? DEFAULT_STEP_MIN;
  if (!(step >= 1 && step <= 240)) faults.push(fault("stepMin", "1 to 240 minutes", step, "Choose a step."));
  const turn = wish.turnStepDeg ?? 1;
  if (!(turn >= 0.5 && turn <= 360))
    faults.push(fault("turnStepDeg", "0.5 to 360 degrees", turn, "Choose a step."));
  if (faults.length > 0) throw new JobFaults(faults);
}

/** A moment of the clock as the job writes it; which of the two where the clock showed it twice. */
export function momentOf(local: string, zone: string, occurrence: "earlier" | "later" = "earlier"): Moment {
  try {
    resolveMoment({ local, zone });
    return { local, zone };
  } catch (error) {
    const twice = error instanceof JobFaults && error.faults.some((f) => f.path.endsWith("occurrence"));
    if (!twice) throw error;
    return { local, zone, occurrence };
  }
}

/** Julian dates (UT) to try, from the first hour to the last. */
export function timesOf(wish: Wish): { like: Instant; jdUt: number[] } {
  const first = resolveMoment(momentOf(wish.fromLocal, wish.zone), "wish.fromLocal");
  const last = resolveMoment(momentOf(wish.toLocal, wish.zone, "later"), "wish.toLocal");
  const days = last.jdUt - first.jdUt;
  // by the clock: on a night when clocks are put back, noon to noon is 25 hours
  const hours = (Date.parse(`${wish.toLocal}Z`) - Date.parse(`${wish.fromLocal}Z`)) / 3_600_000;
  if (days < 0 || hours > LONGEST_WINDOW_HOURS)
    throw new CannotDo(
      `the window from ${wish.fromLocal} to ${wish.toLocal} is ${days < 0 ? "backwards" : "longer than a day"}`,
      "Give hours of one night, the first before the last.",
    );
  const step = (wish.stepMin ?? DEFAULT_STEP_MIN) * MINUTE_DAYS;
  const count = Math.floor(days / step + 1e-6);
  return { like: first, jdUt: Array.from({ length: count + 1 }, (_, i) => first.jdUt + i * step) };
}
