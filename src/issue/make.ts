import type { Tile } from "../ceiling/types.ts";
import { holdsByTile } from "../ceiling/holds.ts";
import { pointToUm } from "../geometry/um.ts";
import type { PointMm } from "../geometry/types.ts";
import { CannotDo } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import type { Hole } from "../pattern/types.ts";
import type { Planned } from "../plan.ts";
import { issuedTiles, packTile, type IssuedTile, type Run } from "./packed.ts";
import { groupBy } from "../groupBy.ts";

/** What issuing needs of the bundles. */
export interface SharedRuns {
  strands: readonly (Omit<Run, "lengthsM"> & { hole: number; lengthM: number })[];
  tails: readonly { tile: string; engine: string; routeMm: readonly PointMm[] }[];
}

export interface IssueOptions {
  /** The day, as 2031-02-14. */
  on: string;
  /** By name; all that have holes and wait for nobody where none is named. */
  tiles?: readonly string[];
  /** Whether strands were exchanged for length. */
  exchanged: boolean;
}

export interface Issue {
  job: Job;
  /** Tiles issued now. */
  tiles: string[];
  /** Tiles that were issued before, and stay as they were. */
  before: string[];
  /** Tiles left out because somebody has not answered yet, each with why. */
  held: { tile: string; why: string }[];
}

/**
 * Issues tiles: writes into the job what is to be punched, so that it stands from then on. A tile that was issued before
 * stays as it is; only strands that it did not have yet are added. Throws CannotDo for tiles that can't be issued.
 */
export function issueTiles(plan: Planned, runs: SharedRuns, options: IssueOptions): Issue {
  const { job, ceiling, pattern, night } = plan;
  const holes = groupBy(pattern.holes, ({ tile }) => tile);
  const holds = holdsByTile(ceiling);
  const whyHeld = (tile: string) => (holds.get(tile) ?? []).map(({ name, why }) => `${name}: ${why}`).join("; "); // prettier-ignore
  const known = new Map(issuedTiles(job.issued).map((tile) => [tile.tile, tile]));
  const wanted = options.tiles ?? [...holes.keys()].filter((name) => known.has(name) || !holds.has(name));
  for (const name of wanted) refuseOdd(name, ceiling.tiles, holes, known.has(name) ? "" : whyHeld(name));

  const runOf = runsByHole(runs);
  const entryOf = (tile: Tile): IssuedTile => {
    const before = known.get(tile.name);
    return {
      tile: tile.name,
      row: tile.row,
      column: tile.column,
      revision: before?.revision ?? job.revision,
      on: before?.on ?? options.on,
      sky: before?.sky ?? night.title,
      exchanged: before?.exchanged ?? options.exchanged,
      lossDbPerM: before?.lossDbPerM ?? job.strands.lossDbPerM,
      outline: tile.outline,
      holes: holes.get(tile.name)!.map((hole) => ({ hole, run: runOf.get(hole.id) ?? null })),
      tails: runs.tails
        .filter((tail) => tail.tile === tile.name)
        .map(({ engine, routeMm }) => ({ engine, route: routeMm.map(pointToUm) })),
    };
  };
  const names = new Set([...known.keys(), ...wanted]);
  const tiles = ceiling.tiles.filter(({ name }) => names.has(name)).map((tile) => packTile(wanted.includes(tile.name) ? entryOf(tile) : known.get(tile.name)!)); // prettier-ignore
  return {
    job: { ...job, issued: { ...job.issued, tiles, engines: enginesOf(job) } },
    tiles: wanted.filter((name) => !known.has(name)),
    before: [...known.keys()],
    held: options.tiles ? [] : [...holes.keys()].filter((name) => holds.has(name) && !known.has(name)).map((tile) => ({ tile, why: whyHeld(tile) })), // prettier-ignore
  };
}

function refuseOdd(
  name: string,
  tiles: readonly Tile[],
  holes: ReadonlyMap<string, Hole[]>,
  held: string,
): void {
  if (!tiles.some((tile) => tile.name === name))
    throw new CannotDo(`There is no tile ${name} on this ceiling.`, "Name tiles as the plan does: A1 is top left. Nothing was issued."); // prettier-ignore
  if (!holes.has(name))
    throw new CannotDo(`Tile ${name} has no hole, so there is nothing to issue.`, "Leave it out. Nothing was issued."); // prettier-ignore
  if (held !== "")
    throw new CannotDo(`Tile ${name} is on HOLD: ${held}.`, "Write the answer into the survey first, or leave the tile out. Nothing was issued."); // prettier-ignore
}

function runsByHole({ strands }: SharedRuns): Map<number, Run> {
  const runs = new Map<number, Run>();
  for (const { hole, engine, needM, lengthM, channel, wheelDeg } of strands) {
    const run = runs.get(hole) ?? { engine, needM, lengthsM: [], channel, wheelDeg };
    run.lengthsM.push(lengthM);
    runs.set(hole, run);
  }
  return runs;
}

/** Engines as they were when they were first issued, and those of now that were not. */
function enginesOf({ issued, bundles }: Job): Job["bundles"]["engines"] {
  const before = issued?.engines ?? [];
  const letters = new Set(before.map(({ letter }) => letter));
  return [...before, ...bundles.engines.filter(({ letter }) => !letters.has(letter))];
}

/**
 * Takes the issue of tiles back: they are worked out again from then on. Throws CannotDo where one is not issued. Whoever
 * calls has asked the record whether somebody has begun them (`src/asBuilt/cost.ts`).
 */
export function takeBack(job: Job, tiles: readonly string[]): Job {
  const { issued } = job;
  const known = new Set(issued?.tiles.map(({ tile }) => tile));
  if (!issued) throw new CannotDo("Nothing of this job is issued.", "There is nothing to take back.");
  const stranger = tiles.find((name) => !known.has(name));
  if (stranger !== undefined)
    throw new CannotDo(
      `Tile ${stranger} is not issued.`,
      `Issued are: ${[...known].join(", ")}. Nothing was taken back.`,
    );
  const left = issued.tiles.filter(({ tile }) => !tiles.includes(tile));
  return { ...job, issued: left.length === 0 ? null : { ...issued, tiles: left } };
}

/** The revision that stands on a tile's papers: that of its issue, or the job's. */
export function revisionOf(job: Pick<Job, "issued" | "revision">, tile: string): number {
  return issuedTiles(job.issued).find((one) => one.tile === tile)?.revision ?? job.revision;
}

/** What stands on a tile's papers: revision, day and sky it was issued with, or the job's own and no day. */
export function issueOf(
  { job, night }: Pick<Planned, "job" | "night">,
  tile: string,
): Pick<IssuedTile, "revision" | "on" | "sky"> {
  const issued = issuedTiles(job.issued).find((one) => one.tile === tile);
  return issued ?? { revision: job.revision, on: "", sky: night.title };
}
