import { shareBrightestFirst } from "./brightest.ts";
import { handAllot } from "./hand.ts";
import { servable, splitModel, wholeModel, type Programme } from "./model.ts";
import { costOf, type Cost, type Problem, type Shares } from "./problem.ts";
import type { MipAnswer, Solver } from "./solver.ts";

/** A found answer within a ten-thousandth of the bound counts as the best there is. */
export const OPTIMAL_GAP = 1e-4;
/** More rows for borders than this cost more time than they are worth: least length keeps neighbours together. */
const MOST_BORDER_ROWS = 1200;
/** More choices of tail than this are left to the transport problem, which splits few tiles by itself. */
const MOST_TAIL_CHOICES = 5000;
/** Strands within this of a whole number are whole. */
const WHOLE_TOLERANCE = 1e-6;

export interface Allotted {
  shares: Shares;
  way: "optimal" | "time limit" | "hand rule";
  /** Proven: (cost - bound) / cost, for what was weighed. */
  gap: number;
  cost: Cost;
  /** Equal parts were asked for and can't be had. */
  notEqual: boolean;
  /** What the solver said when it failed, "" if it did not. */
  solverTrouble: string;
}

/**
 * Shares tiles out to engines. First with every tile whole; only where that can't be (or the engines are
 * too full for it) may tiles be split. Where not everything can be lit, the brightest are. No solver, or none of its
 * answers in time: hand rules.
 */
export function allot(
  problem: Problem,
  { solver, timeLimitS, equalParts }: { solver: Solver | null; timeLimitS: number; equalParts: boolean },
): Allotted {
  const state = { trouble: "" };
  const ask = (programme: Programme, limitS: number): MipAnswer | null => {
    if (!solver) return null;
    try {
      return solver(programme.model, { timeLimitS: limitS, relativeGap: OPTIMAL_GAP });
    } catch (error) {
      state.trouble = error instanceof Error ? error.message : String(error);
      return null;
    }
  };
  const lit = problem.tiles.filter((tile) => servable(tile).length > 0).length;
  const engines = problem.supplies.length;
  const done = (shares: Shares, way: Allotted["way"], gap: number, notEqual = false): Allotted => ({
    shares,
    way,
    gap,
    cost: costOf(problem, shares),
    notEqual,
    solverTrouble: state.trouble,
  });
  if (problem.tiles.length === 0) return done([], "optimal", 0);
  const wayOf = (answer: MipAnswer) => (answer.status === "optimal" ? "optimal" : "time limit");

  if (equalParts && solver) {
    const programme = wholeModel(problem, {
      borders: hasRoomForBorders(problem),
      tilesPerEngine: [Math.floor(lit / engines), Math.ceil(lit / engines)],
    });
    const answer = ask(programme, timeLimitS);
    if (answer?.values) return done(programme.read(answer.values), wayOf(answer), gapOf(answer, 0));
  }
  if (equalParts) return { ...allot(problem, { solver, timeLimitS, equalParts: false }), notEqual: true };

  if (!isTight(problem)) {
    const programme = wholeModel(problem, { borders: hasRoomForBorders(problem) });
    const answer = ask(programme, timeLimitS * 0.6);
    if (answer?.values) return done(programme.read(answer.values), wayOf(answer), gapOf(answer, 0));
  }
  const choices = problem.tiles.reduce((sum, { groups }) => sum + groups.length * engines, 0);
  const tails = choices <= MOST_TAIL_CHOICES;
  const brightest = shareBrightestFirst(problem);
  const programme = splitModel(problem, { tails, lit: brightest });
  const answer = ask(programme, timeLimitS * 0.6);
  if (answer?.values) {
    const shares = wholeStrands(problem, brightest, programme.read(answer.values), ask, timeLimitS * 0.2);
    if (shares) return done(shares, wayOf(answer), gapAgainst(problem, shares, answer, programme, tails));
  }
  const whole = handAllot(problem);
  const byHand = costOf(problem, whole).unlit > 0 ? brightest : whole;
  return done(byHand, "hand rule", gapToNearest(problem, byHand));
}

const hasRoomForBorders = ({ borders, supplies }: Problem): boolean =>
  borders.length * supplies.length <= MOST_BORDER_ROWS;

const gapOf = ({ objective, bound }: MipAnswer, offset: number): number =>
  objective + offset <= 0 ? 0 : Math.max(0, (objective - bound) / (objective + offset));

/** Gap of whole strands against the bound of the programme they were rounded from. */
function gapAgainst(
  problem: Problem,
  shares: Shares,
  answer: MipAnswer,
  programme: Programme,
  tails: boolean,
): number {
  const { totalMm, borders, strandMm, unlit } = costOf(problem, shares);
  const weighed = tails ? totalMm - borders * problem.borderCostMm : strandMm;
  // With unlit strands the programme's own numbers count: they hold the price of the dark.
  if (unlit > 0) return gapOf(answer, programme.offsetMm);
  return weighed <= 0 ? 0 : Math.max(0, (weighed - answer.bound - programme.offsetMm) / weighed);
}

/** Against every tile getting its nearest engine, which is seldom possible: a weak bound, but a proven one. */
function gapToNearest(problem: Problem, shares: Shares): number {
  const { strandMm, unlit } = costOf(problem, shares);
  if (unlit > 0) return 1;
  let least = 0;
  problem.tiles.forEach((tile) =>
    servable(tile).forEach((g) => {
      const group = tile.groups[g]!;
      const bases = tile.baseMm.filter((_, e) => group.classes[e]! >= 0);
      least += group.strands * (group.members.length * Math.min(...bases) + group.fanMm);
    }),
  );
  return strandMm <= 0 ? 0 : Math.max(0, (strandMm - least) / strandMm);
}

/** Whole numbers of holes on the tails that were chosen; null where a second solve is needed and fails. */
function wholeStrands(
  problem: Problem,
  lit: Shares,
  shares: Shares,
  ask: (programme: Programme, limitS: number) => MipAnswer | null,
  limitS: number,
): Shares | null {
  const rounded = shares.map((tile) => tile.map((group) => group.map((n) => Math.round(n))));
  const nearest = rounded.flat(2);
  const whole = shares.flat(2).every((n, i) => Math.abs(n - nearest[i]!) <= WHOLE_TOLERANCE);
  if (whole) return rounded;
  const tidy = shares.map((tile) => tile.map((group) => group.map((n) => (n <= WHOLE_TOLERANCE ? 0 : n))));
  const programme = splitModel(problem, { tails: false, onlyTails: tidy, lit });
  const answer = ask(programme, limitS);
  return answer?.values
    ? programme.read(answer.values).map((tile) => tile.map((group) => group.map((n) => Math.round(n))))
    : null;
}

/** Whether the engines are so full that whole tiles will hardly fit: spare strands below half a tile for each of them but one. */
function isTight({ tiles, supplies, limits }: Problem): boolean {
  const counts = new Map<number, number>();
  for (const { groups } of tiles)
    for (const { diameterMm, members, strands } of groups)
      counts.set(diameterMm, (counts.get(diameterMm) ?? 0) + strands * members.length);
  const slack = (supply: number, need: number) =>
    supply - need < ((supplies.length - 1) / 2) * (need / tiles.length);
  const need = [...counts.values()].reduce((sum, n) => sum + n, 0);
  if (
    slack(
      supplies.reduce((sum, { engine }) => sum + engine.capacity, 0),
      need,
    )
  )
    return true;
  return [...counts].some(([diameterMm, strands]) => {
    const supply = supplies.reduce((sum, { kit }, e) => {
      const all = limits[e]!.find((limit) => limit.diameterMm === diameterMm && limit.fromClass === 0);
      return sum + (all?.limit ?? (kit ? 0 : Infinity));
    }, 0);
    return slack(supply, strands);
  });
}
