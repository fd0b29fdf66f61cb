import {
  type AddedEntry,
  type Entry,
  type HoleRef,
  HOLE_STEPS,
  type HoleStep,
  isPlaceEntry,
  isStrandEntry,
  isTick,
  isTileStep,
  type PlaceEntry,
  type StrandEntry,
  type TickEntry,
  type TileStep,
} from "./entry.ts";
import { groupBy } from "../groupBy.ts";

/** What stands of one hole. Every list holds entries that nobody has taken back; empty = nothing happened. */
export interface HoleState {
  ticks: Record<HoleStep, TickEntry[]>;
  /** Where it is: nothing, one answer, or several that nobody has decided between. */
  place: PlaceEntry[];
  /** How its strand is, likewise. */
  strand: StrandEntry[];
  /** Ticked by somebody who did not know what `place` says, which was said by somebody who did not know the tick. */
  doubted: TickEntry[];
  /** Two say different things of it: a person has to decide, by saying what is so. */
  open: boolean;
}

/** What stands of one tile. */
export interface TileState {
  steps: ReadonlyMap<TileStep, Entry[]>;
  holes: ReadonlyMap<HoleRef, HoleState>;
  added: AddedEntry[];
  lifted: Entry[];
  /** Of the job, that its entries are for; the lowest first. */
  revisions: number[];
}

/** Entries by tile; "" holds those of engines. */
export const byTile = (entries: readonly Entry[]): Map<string, Entry[]> => groupBy(entries, tileOf);

export const tileOf = (entry: Entry): string => ("tile" in entry ? (entry.tile ?? "") : "");

/**
 * What stands after everything that was told of one tile, in whatever order it was heard: a function of the set.
 * No clock has a say. A tick holds until it is undone, or until somebody who knew it says that the hole is spoilt or
 * given up; of several answers to one question those hold that no later one knew.
 */
export function tileState(entries: readonly Entry[]): TileState {
  const undone = undoneOf(entries);
  const gone = (entry: Entry, hole?: HoleRef): boolean => {
    const holes = undone.get(entry.id);
    return holes !== undefined && (holes === null || (hole !== undefined && holes.has(hole)));
  };
  const steps = new Map<TileStep, Entry[]>();
  const told = new Map<HoleRef, Told>();
  const of = (hole: HoleRef): Told => {
    let found = told.get(hole);
    if (!found) told.set(hole, (found = { ticks: [], place: [], strand: [] }));
    return found;
  };
  const added: AddedEntry[] = [];
  const lifted: Entry[] = [];
  const revisions = new Set<number>();
  for (const entry of entries) {
    if (entry.what === "undone") continue;
    if (isTick(entry)) {
      const left = entry.holes.filter((hole) => !gone(entry, hole));
      for (const hole of left) of(hole).ticks.push(entry);
      if (left.length === 0) continue;
    } else if (gone(entry)) continue;
    else if (isPlaceEntry(entry)) of(entry.hole).place.push(entry);
    else if (isStrandEntry(entry)) of(entry.hole).strand.push(entry);
    else if (isTileStep(entry.what)) steps.set(entry.what, [...(steps.get(entry.what) ?? []), entry]);
    else if (entry.what === "added") added.push(entry);
    else if (entry.what === "lifted") lifted.push(entry);
    revisions.add(entry.revision);
  }
  const holes = new Map([...told].map(([hole, all]) => [hole, holeState(all)]));
  return { steps, holes, added, lifted, revisions: [...revisions].sort((a, b) => a - b) };
}

interface Told {
  ticks: TickEntry[];
  place: PlaceEntry[];
  strand: StrandEntry[];
}

/** By id: null = all of it, else for which holes. */
function undoneOf(entries: readonly Entry[]): Map<string, Set<HoleRef> | null> {
  const undone = new Map<string, Set<HoleRef> | null>();
  for (const entry of entries) {
    if (entry.what !== "undone") continue;
    for (const id of entry.of) {
      const before = undone.get(id);
      if (before === null) continue;
      undone.set(id, entry.holes ? new Set([...(before ?? []), ...entry.holes]) : null);
    }
  }
  return undone;
}

function holeState({ ticks, place, strand }: Told): HoleState {
  const voids = place.filter(({ what }) => what === "spoilt" || what === "given up");
  const voided = new Set(voids.flatMap(({ knows }) => knows));
  const held = ticks.filter(({ id }) => !voided.has(id));
  const stands = newest(place);
  const doubted = held.filter((tick) =>
    stands.some(
      ({ id, what, knows }) => what !== "as planned" && !knows.includes(tick.id) && !tick.knows?.includes(id),
    ),
  );
  const strands = newest(strand);
  const state = { ticks: { punched: [], threaded: [], glued: [] } as HoleState["ticks"], place: stands };
  for (const step of HOLE_STEPS) state.ticks[step] = held.filter(({ what }) => what === step);
  const open = doubted.length > 0 || differ(stands) || differ(strands);
  return { ...state, strand: strands, doubted, open };
}

/** Those that no other one knew. (Entries that know each other can't come about; they would all stand.) */
function newest<T extends PlaceEntry | StrandEntry>(all: T[]): T[] {
  const known = new Set(all.flatMap((entry) => entry.knows.filter((id) => id !== entry.id)));
  const left = all.filter(({ id }) => !known.has(id));
  return left.length > 0 ? left : all;
}

const differ = (all: readonly (PlaceEntry | StrandEntry)[]): boolean => new Set(all.map(saidOf)).size > 1;
/** What an answer says, without who and when. */
const saidOf = (entry: PlaceEntry | StrandEntry): string =>
  JSON.stringify([
    entry.what,
    "byUm" in entry ? entry.byUm : null,
    "diameterMm" in entry ? entry.diameterMm : null,
  ]);
