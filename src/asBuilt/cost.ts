import type { Warning } from "../job/faults.ts";
import type { TakeoffSection } from "../job/sections/takeoff.ts";
import { areaMm2 } from "../geometry/area.ts";
import { insteadWords } from "../issue/warnings.ts";
import type { Instead } from "../issue/keep.ts";
import type { IssuedTile } from "../issue/packed.ts";
import type { Plan } from "../plan.ts";
import { HOLE_STEPS, STEPS, type Entry, type HoleStep, type Step } from "../record/entry.ts";
import { hoursEach, piecesOfTile } from "../record/progress.ts";
import { byTile, tileState } from "../record/state.ts";
import { groupBy } from "../groupBy.ts";

/** A tile as it lies on the bench: what was issued of it, or is planned. */
export interface OnBench {
  tile: string;
  areaM2: number;
  holes: readonly { numberInTile: number; strands: number }[];
  tails: number;
}

/** How far a tile is, as the record tells, and what it takes to come so far once more. */
export interface Begun {
  tile: string;
  punched: number;
  /** Strands, not holes. */
  threaded: number;
  glued: number;
  /** "taped", "hung" ...: what was done with the tile as a whole, in the order of the work. */
  steps: string[];
  /** Person-hours by the job's rates to do all of it again, the cloth with it. */
  hours: number;
}

export const issuedOnBench = ({ tile, outline, holes, tails }: IssuedTile): OnBench => ({
  tile,
  areaM2: areaMm2(outline) / 1e6,
  holes: holes.map(({ hole }) => hole),
  tails: Math.max(1, tails.length),
});

/** The tiles of a plan that have holes. */
export function plannedOnBench({ ceiling, pattern }: Pick<Plan, "ceiling" | "pattern">): OnBench[] {
  const holes = groupBy(pattern.holes, ({ tile }) => tile);
  return ceiling.tiles.flatMap(({ name, outline }): OnBench[] => {
    const own = holes.get(name);
    return own ? [{ tile: name, areaM2: areaMm2(outline) / 1e6, holes: own, tails: 1 }] : [];
  });
}

/** Steps that leave nothing behind when a tile's holes change. */
const HARMLESS: readonly Step[] = ["taken down", "covered"];

/** The tiles among these that somebody has begun: changing them undoes work. */
export function begunTiles(
  tiles: readonly OnBench[],
  entries: readonly Entry[],
  takeoff: TakeoffSection,
): Begun[] {
  const told = byTile(entries);
  return tiles.flatMap(({ tile, areaM2, holes, tails }): Begun[] => {
    const own = told.get(tile);
    if (!own) return [];
    const { holes: states, steps } = tileState(own);
    const strands = new Map(holes.map(({ numberInTile, strands: count }) => [numberInTile, count]));
    const count = (step: HoleStep, of: (hole: number | string) => number) =>
      [...states].reduce((sum, [hole, state]) => sum + (state.ticks[step].length > 0 ? of(hole) : 0), 0);
    const strandsOf = (hole: number | string) => (typeof hole === "number" ? (strands.get(hole) ?? 1) : 1);
    const done = {
      punched: count("punched", () => 1),
      threaded: count("threaded", strandsOf),
      glued: count("glued", strandsOf),
    };
    const whole = STEPS.filter((step) => !HARMLESS.includes(step) && steps.has(step as never));
    if (done.punched + done.threaded + done.glued + whole.length === 0) return [];
    const again: [Step, number][] = [
      // cloth with holes in it is put on anew
      ...(done.punched > 0 ? [["covered", 1] as [Step, number]] : []),
      ...whole.map((step): [Step, number] => [step, piecesOfTile(step, { holes, tails })]),
      ...HOLE_STEPS.map((step): [Step, number] => [step, done[step]]),
    ];
    const hours = again.reduce((sum, [step, pieces]) => sum + pieces * hoursEach(step, areaM2, takeoff), 0);
    return [{ tile, ...done, steps: whole, hours }];
  });
}

const some = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`;

/** What working a tile out anew would cost: "A1: 34 holes punched for nothing, and the tile and its fabric with them; ..." */
export const costWords = (begun: Begun): string => `${begun.tile}: ${priceWords(begun)}`;

function priceWords({ punched, threaded, glued, steps, hours }: Begun): string {
  const drawn = Math.max(0, threaded - glued);
  return [
    punched > 0 && `${some(punched, "hole")} punched for nothing, and the tile and its fabric with them`,
    drawn > 0 && `${some(drawn, "strand")} to draw out again`,
    glued > 0 && `${some(glued, "glued strand")} lost`,
    steps.length > 0 && `done already: ${steps.join(", ")}`,
    `about ${Math.max(0.1, hours).toFixed(1)} h of work to come so far again`,
  ]
    .filter((words) => words !== false)
    .join("; ");
}

/** What a change that somebody is about to make does to tiles that are begun and not issued, each with its cost. */
export const changeWords = (one: Begun, now: Instead): string =>
  `${one.tile} would have ${insteadWords(now)}. Work on it has started: ${priceWords(one)}.`;

/**
 * What a person should know of tiles that somebody has begun: that an issued one stays though the job would have it
 * otherwise now, and that one that is not issued follows every change of the job. Each with what a change would cost.
 */
export function begunWarnings(
  begun: readonly Begun[],
  issued: ReadonlySet<string>,
  instead: readonly Instead[],
): Warning[] {
  const otherwise = new Map(instead.map((one) => [one.tile, one]));
  return begun.flatMap((one): Warning[] => {
    const { tile } = one;
    if (!issued.has(tile))
      return [
        {
          code: "begun-not-issued",
          message: `${tile} is started and not issued, so every change of the job may move its holes. A change costs ${priceWords(one)}. Compare it with its printed sheet, then issue it.`,
          path: "issued",
        },
      ];
    const now = otherwise.get(tile);
    if (!now) return [];
    return [
      {
        code: "begun-kept",
        message: `${tile} is started and stays as issued. By the job as it is now it would have ${insteadWords(now)}; that would cost ${priceWords(one)}.`,
        path: "issued",
      },
    ];
  });
}
