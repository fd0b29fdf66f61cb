import { groupBy } from "../groupBy.ts";
import type { TakeoffSection } from "../job/sections/takeoff.ts";
import { clockIsOff } from "./clock.ts";
import { type Entry, isTick, isTileStep, type Step, STEPS } from "./entry.ts";

/** Nobody works through a longer pause between two ticks than this, on top of what the work itself may take. */
export const IDLE_MS = 5 * 60_000;
/** The work itself may take so many times as long as the rates say before it counts as a pause. */
const SLOWEST = 3;

type Rates = TakeoffSection["rates"];

/** How a step is counted: its pieces, its key among the job's rates, and that rate from pieces an hour. */
export const STEP_RATES = {
  "taken down": { key: "takeDownTilesPerH", piece: "tiles", per: "h" },
  covered: { key: "wrapTilesPerH", piece: "tiles", per: "h" },
  taped: { key: "templateMinPerTile", piece: "tiles", per: "min each" },
  punched: { key: "pokeHolesPerH", piece: "holes", per: "h" },
  threaded: { key: "threadStrandsPerH", piece: "strands", per: "h" },
  glued: { key: "glueDotsPerH", piece: "strands", per: "h" },
  labelled: { key: "labelMinPerTile", piece: "tails", per: "min each" },
  plugged: { key: "portSPerStrand", piece: "strands", per: "s each" },
  hung: { key: "rehangTilesPerH", piece: "tiles", per: "h" },
  snipped: { key: "snipEndsPerH", piece: "ends", per: "h" },
} as const satisfies Partial<Record<Step, { key: keyof Rates; piece: string; per: string }>>;
export type RatedStep = keyof typeof STEP_RATES;

/** The key of a step's rate; wrapping has one for a person alone and one for two. */
export const rateKey = (step: RatedStep, people: number): keyof Rates =>
  step === "covered" && people === 2 ? "wrapTilesPerHTwo" : STEP_RATES[step].key;

/** What the ticks of one step say: pieces done, and the time between ticks that was no pause. */
export interface Measured {
  pieces: number;
  ms: number;
}

/** The rate as the job has it: pieces an hour, or minutes or seconds for one; to three figures. */
export function asRate(step: RatedStep, { pieces, ms }: Measured): number {
  const { per } = STEP_RATES[step];
  const perHour = (pieces / ms) * 3_600_000;
  return Number((per === "h" ? perHour : (per === "min each" ? 60 : 3600) / perHour).toPrecision(3));
}

export interface Clock {
  /** When the present stretch of work began and when its last tick was; null without any. */
  stretch: { fromMs: number; toMs: number } | null;
  measured: Map<Step, Measured>;
}

/**
 * What the ticks of everybody say about how long things take. Each pair of hands (a person at a device) has a clock: its
 * first tick starts it, a pause stops it, and the work of the tick after a pause is not counted, for nobody knows when
 * it began. Ticks that were taken back and those of a clock that is off are left out.
 * @param pieces how many pieces a tick stands for
 * @param hours person-hours that the job's rates give a piece of a step
 */
export function clocksOf(
  entries: readonly Entry[],
  nowMs: number,
  pieces: (entry: Entry) => number,
  hours: (step: Step) => number,
): Map<string, Clock> {
  const undone = new Set(
    entries.flatMap((entry) => (entry.what === "undone" && !entry.holes ? entry.of : [])),
  );
  const worked = entries.filter(
    (entry) =>
      (isTick(entry) || isTileStep(entry.what)) && !undone.has(entry.id) && !clockIsOff(entry, nowMs),
  );
  const hands = groupBy(worked, handOf);
  const clocks = new Map<string, Clock>();
  for (const [hand, ticks] of hands) {
    ticks.sort((a, b) => a.atMs - b.atMs);
    const measured = new Map<Step, Measured>();
    let stretch: Clock["stretch"] = null;
    for (const tick of ticks) {
      const count = pieces(tick);
      const step = tick.what as Step;
      const gap = stretch ? tick.atMs - stretch.toMs : Infinity;
      if (gap > pauseAfterMs(count * hours(step))) {
        stretch = { fromMs: tick.atMs, toMs: tick.atMs };
        continue;
      }
      const sum = measured.get(step) ?? { pieces: 0, ms: 0 };
      measured.set(step, { pieces: sum.pieces + count, ms: sum.ms + gap });
      stretch = { fromMs: stretch!.fromMs, toMs: tick.atMs };
    }
    clocks.set(hand, { stretch, measured });
  }
  return clocks;
}

/** Whose clock it is. */
export const handOf = ({ who, device }: Pick<Entry, "who" | "device">): string => `${who}\n${device}`;

/** How long it may be to the next tick before it is a pause, where the next tick stands for so many hours of work. */
export const pauseAfterMs = (hours: number): number => IDLE_MS + SLOWEST * hours * 3_600_000;

/** The clocks of everybody together. */
export function measuredOf(clocks: Iterable<Clock>): Map<Step, Measured> {
  const all = new Map<Step, Measured>();
  for (const { measured } of clocks)
    for (const [step, { pieces, ms }] of measured) {
      const sum = all.get(step) ?? { pieces: 0, ms: 0 };
      all.set(step, { pieces: sum.pieces + pieces, ms: sum.ms + ms });
    }
  return new Map(STEPS.flatMap((step) => (all.has(step) ? [[step, all.get(step)!] as const] : [])));
}
