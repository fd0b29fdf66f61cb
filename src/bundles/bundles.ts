import { toMm } from "../geometry/um.ts";
import { ceilingHeightMm } from "../job/assumed.ts";
import type { Ceiling, Tile } from "../ceiling/types.ts";
import type { PointMm, PointUm } from "../geometry/types.ts";
import type { Warning } from "../job/faults.ts";
import type { BundlesSection } from "../job/sections/bundles.ts";
import type { Hole } from "../pattern/types.ts";
import type { Planned } from "../plan.ts";
import type { Figure } from "../sky/types.ts";
import { allot, type Allotted } from "./allot.ts";
import { nameFaults, unlitHoles } from "./faults.ts";
import { givenOut, givenWarnings, lessGiven, withIssuedEngines, type Given } from "./issued.ts";
import { measureLengths, type Lengths } from "./lengths.ts";
import { colourWarnings, figureWarnings } from "./light.ts";
import { bordersOf, makeProblem, type Problem } from "./problem.ts";
import { lengthUm, sharedUm } from "./route.ts";
import type { Solver } from "./solver.ts";
import { strandsOf } from "./strands.ts";
import { portUse, supplyOf, type Supply } from "./supply.ts";
import {
  compareLots,
  type BundleFault,
  type Bundles,
  type EngineUse,
  type Strand,
  type StrandLot,
  type Tail,
} from "./types.ts";
import { heightWarnings, outsideFaults } from "./voidSpace.ts";
import { groupBy } from "../groupBy.ts";

/** What of a plan is needed: its job, its ceiling, its holes. */
export type BundleInput = Pick<Planned, "job" | "ceiling"> & { pattern: { holes: Hole[] } };

export interface BundleOptions {
  /** null: hand rules alone. */
  solver: Solver | null;
  /** For the warning of constellations dimmed unevenly. */
  figures?: readonly Figure[];
}

/**
 * From holes to engines: who lights what, along which way, with which strand. Never throws for a job that
 * can't be bundled as asked: whatever is over is in `faults`, the holes it leaves dark in `unlit`, and
 * everything else is planned.
 */
export function makeBundles(plan: BundleInput, { solver, figures = [] }: BundleOptions): Bundles {
  const { job, ceiling, pattern } = plan;
  const given = givenOut(job.issued);
  const section = withIssuedEngines(firstOfEachLetter(job.bundles), job.issued, given);
  const withHoles = new Set(pattern.holes.map(({ tile }) => tile));
  const open = pattern.holes.filter(({ id }) => !given.holes.has(id));
  const lengths = measureLengths(section, ceiling, ceilingHeightMm(job.ceiling), open);
  const problem = makeProblem(section, lengths, (whole) => lessGiven(whole, given));
  const found = allot(problem, {
    solver: section.engines.length > 0 ? solver : null,
    timeLimitS: section.timeLimitS,
    equalParts: section.mode === "equal-parts" && section.engines.length > 0,
  });
  const own = strandsOf(problem, found.shares, lengths, {
    section,
    seed: job.pattern.seed,
    lossDbPerM: job.strands.lossDbPerM,
  });
  const strands = given.strands.length === 0 ? own : inOrder([...given.strands, ...own], pattern.holes);
  const routes = routesOf(lengths, given);
  const lit = ceiling.tiles.filter(({ name }) => withHoles.has(name));
  const tails = tailsOf(strands, routes, section, ceiling);
  const diameters = [...new Set(pattern.holes.map(({ diameterMm }) => diameterMm))];
  const supplies = section.engines.map((engine) => supplyOf(engine, section, diameters));
  const engines = supplies.map((supply) => engineUse(supply, strands, tails, routes, section));
  const dark = unlitHoles(problem, found.shares, lengths);
  return {
    strands,
    unlit: dark.unlit,
    tails,
    engines,
    allotment: {
      way: open.length === 0 && given.strands.length > 0 ? "as issued" : found.way,
      strandM: Math.round(engines.reduce((sum, { strandM }) => sum + strandM, 0) * 1000) / 1000,
      gap: found.gap,
      splitTiles: splitTiles(tails, ceiling),
      borders: found.cost.borders,
    },
    faults: [
      ...(section.engines.length === 0 ? [noEngines()] : []),
      ...nameFaults(job.bundles, withHoles),
      ...outsideFaults(job.bundles, ceiling),
      ...(section.engines.length === 0 ? [] : dark.faults),
    ],
    warnings: [
      ...allotWarnings(found, problem),
      ...kitWarnings(section, supplies),
      ...givenWarnings(job.bundles, job.issued, given),
      ...plainWarnings(tails, lengths),
      ...heightWarnings(section, job.ceiling.voidMm, thickestOnTiles(plan)),
      ...figureWarnings(pattern.holes, strands, figures),
      ...colourWarnings(
        tails,
        bordersOf(lit).map(([a, b]) => [lit[a]!.name, lit[b]!.name] as const),
      ),
    ],
  };
}

/** Which engine lights a hole, for holes.csv and the sheets: "" where none does. */
export function engineOf(bundles: Bundles): (hole: { id: number }) => string {
  const byHole = new Map(bundles.strands.map(({ hole, engine }) => [hole, engine]));
  return ({ id }) => byHole.get(id) ?? "";
}

/** Mean strand length in metres by hole, for the scene. */
export function lengthsByHole({ strands }: Bundles): Map<number, number> {
  const sums = new Map<number, { lengthM: number; strands: number }>();
  for (const { hole, lengthM } of strands) {
    const sum = sums.get(hole) ?? { lengthM: 0, strands: 0 };
    sums.set(hole, { lengthM: sum.lengthM + lengthM, strands: sum.strands + 1 });
  }
  return new Map([...sums].map(([hole, sum]) => [hole, sum.lengthM / sum.strands]));
}

const noEngines = (): BundleFault => ({
  code: "no-engines",
  path: "bundles.engines",
  expected: "at least one light engine",
  got: "none",
  next: 'Add one with its place on the plan: {"letter": "A", "atMm": [x, y]}.',
});

function firstOfEachLetter(section: BundlesSection): BundlesSection {
  const letters = section.engines.map(({ letter }) => letter);
  return { ...section, engines: section.engines.filter(({ letter }, i) => letters.indexOf(letter) === i) };
}

const pointToMm = ({ x, y }: PointUm): PointMm => [toMm(x), toMm(y)];

/** Strands by hole, in the plan's order. */
function inOrder(strands: Strand[], holes: readonly Hole[]): Strand[] {
  const place = new Map(holes.map(({ id }, i) => [id, i]));
  return strands.sort((a, b) => place.get(a.hole)! - place.get(b.hole)!);
}

/** Runs above the grid by name of the tail: those that were issued stay as they were. */
function routesOf({ engines, tiles, routes }: Lengths, given: Given): Map<string, PointUm[]> {
  const all = engines.flatMap(({ letter }, e) =>
    tiles.flatMap(({ tile }, t) => {
      const route = routes[e]![t];
      return route ? [[`${letter}-${tile.name}`, route] as const] : [];
    }),
  );
  return new Map([...all, ...given.routes]);
}

function tailsOf(
  strands: readonly Strand[],
  routes: ReadonlyMap<string, PointUm[]>,
  section: BundlesSection,
  { tiles }: Pick<Ceiling, "tiles">,
): Tail[] {
  const byTail = groupBy(strands, ({ engine, tile }) => `${engine}-${tile}`);
  return section.engines.flatMap(({ letter }) =>
    tiles.flatMap((tile): Tail[] => {
      const name = `${letter}-${tile.name}`;
      const own = byTail.get(name);
      const route = routes.get(name);
      if (!own || !route) return [];
      return [
        {
          name,
          tile: tile.name,
          engine: letter,
          lots: lotsOf(own),
          needM: Math.max(...own.map(({ needM }) => needM)),
          routeMm: route.map(pointToMm),
          routeM: lengthUm(route) / 1e6,
          bendRadiusMm: section.bendFactor * Math.max(...own.map(({ diameterMm }) => diameterMm)),
        },
      ];
    }),
  );
}

/** Tiles with more than one tail, in the plan's order. */
function splitTiles(tails: readonly Tail[], { tiles }: Pick<Ceiling, "tiles">): string[] {
  const count = new Map<string, number>();
  for (const { tile } of tails) count.set(tile, (count.get(tile) ?? 0) + 1);
  return tiles.map(({ name }) => name).filter((name) => count.get(name)! > 1);
}

/** Strands counted by diameter and length. */
export function lotsOf(strands: readonly Pick<Strand, "diameterMm" | "lengthM">[]): StrandLot[] {
  const lots = new Map<string, StrandLot>();
  for (const { diameterMm, lengthM } of strands) {
    const key = `${diameterMm} ${lengthM}`;
    const lot = lots.get(key);
    if (lot) lot.count++;
    else lots.set(key, { diameterMm, lengthM, count: 1 });
  }
  return [...lots.values()].sort(compareLots);
}

function engineUse(
  supply: Supply,
  all: readonly Strand[],
  allTails: readonly Tail[],
  runs: ReadonlyMap<string, PointUm[]>,
  section: BundlesSection,
): EngineUse {
  const { letter, name, atMm, capacity, portDiameterMm } = supply.engine;
  const strands = all.filter((s) => s.engine === letter);
  const tails = allTails.filter((tail) => tail.engine === letter);
  const routes = tails.flatMap((tail) => [runs.get(tail.name)!]);
  const runM = sharedUm(routes) / 1e6;
  const used = strands.reduce((sum, { diameterMm }) => sum + portUse(diameterMm), 0);
  return {
    letter,
    name,
    atMm,
    strands: strands.length,
    capacity,
    tiles: tails.map(({ tile }) => tile),
    lots: supply.kit ? kitLots(supply, strands) : lotsOf(strands).map((lot) => ({ ...lot, spare: null })),
    portFill: used / Math.round(portDiameterMm * 100) ** 2,
    portLimit: section.portFill,
    strandM: Math.round(strands.reduce((sum, { needM }) => sum + needM, 0) * 1000) / 1000,
    runM,
    supports: Math.ceil(runM / section.supportEveryM),
    longestM: strands.reduce((most, { needM }) => Math.max(most, needM), 0),
  };
}

function kitLots({ items }: Supply, strands: readonly Strand[]): EngineUse["lots"] {
  return [...items]
    .flatMap(([diameterMm, own]) =>
      own.map(({ lengthMm, count: inKit }) => {
        const lengthM = lengthMm / 1000;
        const count = strands.filter((s) => s.diameterMm === diameterMm && s.lengthM === lengthM).length;
        return { diameterMm, lengthM, count, spare: inKit - count };
      }),
    )
    .sort(compareLots);
}

/** Every tile with its thickest strand, 0 for a tile without. */
function thickestOnTiles({ ceiling, pattern }: BundleInput): { tile: Tile; thickestMm: number }[] {
  const thickest = new Map<string, number>();
  for (const { tile, diameterMm } of pattern.holes)
    thickest.set(tile, Math.max(thickest.get(tile) ?? 0, diameterMm));
  return ceiling.tiles.map((tile) => ({ tile, thickestMm: thickest.get(tile.name) ?? 0 }));
}

function allotWarnings(found: Allotted, problem: Problem): Warning[] {
  const warnings: Warning[] = [];
  if (found.notEqual)
    warnings.push({
      code: "not-equal-parts",
      message:
        "Tiles can't be assigned in equal numbers within capacity, port and reach; least length was taken instead.",
      path: "bundles.mode",
    });
  if (found.solverTrouble)
    warnings.push({
      code: "solver-failed",
      message: `The solver failed (${found.solverTrouble}); rules of thumb assigned the tiles.`,
    });
  else if (found.way === "time limit")
    warnings.push({
      code: "time-limit",
      message: `The time limit came first: at most ${(found.gap * 100).toFixed(2)} % could still be saved.`,
      path: "bundles.timeLimitS",
    });
  if (found.cost.splits.length > 0)
    warnings.push({
      code: "tiles-split",
      message: `Tiles fed by more than one engine, as the kits are too full for whole tiles: ${found.cost.splits
        .map((t) => problem.tiles[t]!.name)
        .join(", ")}.`,
    });
  return warnings;
}

/** Runs over tiles that must stay easy to open. */
function plainWarnings(tails: readonly Tail[], { overPlain }: Lengths): Warning[] {
  const over = tails.filter(({ name }) => overPlain.has(name)).map(({ name }) => name);
  if (over.length === 0) return [];
  return [
    {
      code: "runs-over-plain-tile",
      message: `No way round plain tiles, hatches and diffusers for ${over.join(", ")}: keep these runs clear of whoever opens them, or move the engine.`,
    },
  ];
}

/** Kits that overfill their port when every strand of them goes in. */
function kitWarnings({ portFill }: BundlesSection, supplies: readonly Supply[]): Warning[] {
  return supplies.flatMap(({ kit, items, port, engine }): Warning[] => {
    if (!kit) return [];
    const lots = [...items].flatMap(([diameterMm, own]) =>
      own.map(({ count }) => portUse(diameterMm) * count),
    );
    const whole = lots.reduce((sum, use) => sum + use, 0);
    if (whole <= port) return [];
    const percent = ((whole / Math.round(engine.portDiameterMm * 100) ** 2) * 100).toFixed(0);
    return [
      {
        code: "kit-overfills-port",
        message: `All strands of engine ${engine.letter}'s kit would fill its port of ${engine.portDiameterMm} mm to ${percent} %; ${(portFill * 100).toFixed(0)} % is what hand packing takes.`,
        path: "bundles.kits",
      },
    ];
  });
}
