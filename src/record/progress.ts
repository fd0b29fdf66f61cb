import { toMm } from "../geometry/um.ts";
import type { TileUse } from "../job/sections/ceiling.ts";
import type { TakeoffSection } from "../job/sections/takeoff.ts";
import type { Hole } from "../pattern/types.ts";
import { byTime, type HoleRef, type HoleStep, isHoleStep, type Step, STEPS, type TileStep } from "./entry.ts";
import { isDone, isGivenUp } from "./say.ts";
import type { HoleState, TileState } from "./state.ts";

/** A hole as it lies in front of somebody: the planned place with what was said of it since, or added at the bench. */
export interface BenchHole {
  ref: HoleRef;
  /** The number on the sheet, or "+1", "+2" for holes added at the bench. */
  name: string;
  /** From the tile's datum, seen from above. */
  xMm: number;
  yMm: number;
  diameterMm: number;
  strands: number;
  state: HoleState | undefined;
}

type PlannedHole = Pick<Hole, "numberInTile" | "tileXMm" | "tileYMm" | "diameterMm" | "strands">;

/**
 * The holes of a tile by number, then the added ones; moved ones where they were moved to. A hole of `before` that is as it
 * was is given again itself, so that whoever shows them knows what has changed.
 */
export function benchHoles(
  planned: readonly PlannedHole[],
  state: TileState,
  before: readonly BenchHole[] = [],
): BenchHole[] {
  const known = new Map(before.map((hole) => [hole.ref, hole]));
  return holesNow(planned, state).map((hole) => {
    const was = known.get(hole.ref);
    return was && isAsItWas(was, hole) ? was : hole;
  });
}

const alike = (a: readonly unknown[], b: readonly unknown[]): boolean =>
  a.length === b.length && a.every((one, i) => one === b[i]);

function isAsItWas({ state: a, ...was }: BenchHole, { state: b, ...is }: BenchHole): boolean {
  if (!alike(Object.values(was), Object.values(is))) return false;
  if (!a || !b) return a === b;
  const lists = ({ ticks, place, strand, doubted }: HoleState) => [
    ...Object.values(ticks),
    place,
    strand,
    doubted,
  ];
  const others = lists(b);
  return a.open === b.open && lists(a).every((list, i) => alike(list, others[i]!));
}

function holesNow(planned: readonly PlannedHole[], state: TileState): BenchHole[] {
  const asPlanned = planned.map((hole): BenchHole => {
    const { numberInTile: ref, tileXMm, tileYMm, diameterMm, strands } = hole;
    return at({ ref, name: String(ref), xMm: tileXMm, yMm: tileYMm, diameterMm, strands }, state);
  });
  return [
    ...asPlanned.sort((a, b) => Number(a.ref) - Number(b.ref)),
    ...byTime(state.added).map(({ id, atUm: [x, y], diameterMm, strands }, i) =>
      at({ ref: id, name: `+${i + 1}`, xMm: toMm(x), yMm: toMm(y), diameterMm, strands }, state),
    ),
  ];
}

function at(hole: Omit<BenchHole, "state">, tile: TileState): BenchHole {
  const state = tile.holes.get(hole.ref);
  const [place] = state?.place ?? [];
  const spare = state?.strand.find((entry) => entry.what === "replaced");
  const [dx, dy] = place?.what === "moved" ? place.byUm : [0, 0];
  const diameterMm = spare?.what === "replaced" ? spare.diameterMm : hole.diameterMm;
  return { ...hole, diameterMm, xMm: hole.xMm + toMm(dx), yMm: hole.yMm + toMm(dy), state };
}

/** A tile as far as its work is concerned. */
export interface TileWork {
  use: TileUse;
  areaM2: number;
  holes: readonly BenchHole[];
  tails: number;
  state: TileState;
}

/** The steps that a tile takes: one without strands is only covered. */
export function stepsOf({ use, holes }: Pick<TileWork, "use" | "holes">): readonly Step[] {
  if (use === "plain") return [];
  return holes.length > 0 ? STEPS : (["taken down", "covered", "hung"] as const);
}

/** Holes that a step is still to be done on. */
export const holesLeft = (holes: readonly BenchHole[], step: HoleStep): BenchHole[] =>
  holes.filter(({ state }) => !isDone(state, step) && !isGivenUp(state));

export function stepDone(work: TileWork, step: Step): boolean {
  return isHoleStep(step) ? holesLeft(work.holes, step).length === 0 : work.state.steps.has(step as TileStep);
}

export interface Progress {
  /** The first step that is not done; null when all are. */
  next: Step | null;
  /** Person-hours by the job's rates, and what of them is still to be done. */
  allH: number;
  leftH: number;
  /** Holes that two people say different things of. */
  open: HoleRef[];
}

export function progressOf(work: TileWork, takeoff: TakeoffSection): Progress {
  const steps = stepsOf(work);
  let [allH, leftH] = [0, 0];
  for (const step of steps) {
    const [all, left] = pieces(work, step);
    const each = hoursEach(step, work.areaM2, takeoff);
    allH += all * each;
    leftH += left * each;
  }
  const open = work.holes.filter(({ state }) => state?.open).map(({ ref }) => ref);
  return { next: steps.find((step) => !stepDone(work, step)) ?? null, allH, leftH, open };
}

/** How many a step has to do with, in all and still to be done: holes, strands, tails or the tile itself. */
function pieces(work: TileWork, step: Step): [all: number, left: number] {
  if (isHoleStep(step)) {
    const count = (holes: readonly BenchHole[]): number =>
      step === "punched" ? holes.length : holes.reduce((sum, { strands }) => sum + strands, 0);
    const wanted = work.holes.filter(({ state }) => !isGivenUp(state));
    return [count(wanted), count(holesLeft(work.holes, step))];
  }
  const all = piecesOfTile(step, work);
  return [all, stepDone(work, step) ? 0 : all];
}

/** Of a step that is ticked for the whole tile. */
export function piecesOfTile(
  step: Step,
  { holes, tails }: { holes: readonly { strands: number }[]; tails: number },
): number {
  if (step === "labelled") return tails;
  if (step === "plugged" || step === "snipped") return holes.reduce((sum, { strands }) => sum + strands, 0);
  return 1;
}

/** What the wrapping rates count: a tile of 24 x 24 in. */
const RATE_TILE_M2 = 0.6096 * 0.6096;

/** Person-hours for one piece, by the job's rates; 0 where there is no rate. */
export function hoursEach(step: Step, areaM2: number, { rates, people }: TakeoffSection): number {
  const per = (rate: number): number => (rate > 0 ? 1 / rate : 0);
  switch (step) {
    case "taken down":
      return 2 * per(rates.takeDownTilesPerH);
    case "covered": {
      const wrap = people === 2 ? 2 * per(rates.wrapTilesPerHTwo) : per(rates.wrapTilesPerH);
      return per(rates.cleanTilesPerH) + (areaM2 / RATE_TILE_M2) * wrap;
    }
    case "taped":
      return rates.templateMinPerTile / 60;
    case "punched":
      return per(rates.pokeHolesPerH);
    case "threaded":
      return per(rates.threadStrandsPerH);
    case "glued":
      return per(rates.glueDotsPerH);
    case "labelled":
      return rates.labelMinPerTile / 60;
    case "plugged":
      return rates.portSPerStrand / 3600;
    case "hung":
      return 2 * per(rates.rehangTilesPerH);
    case "snipped":
      return per(rates.snipEndsPerH);
    case "tested":
      return 0;
  }
}
