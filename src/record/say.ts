import type { Entry, HoleRef, HoleStep, PlaceEntry, StrandEntry, TileStep } from "./entry.ts";
import type { HoleState, TileState } from "./state.ts";

/** What every entry begins with. */
export type Stamp = Pick<Entry, "id" | "atMs" | "who" | "device" | "revision">;

/** A step of the whole tile is done. */
export const tileTick = (stamp: Stamp, tile: string, what: TileStep): Entry => ({ ...stamp, what, tile });

/** A step is done on some holes of a tile. */
export function holeTick(
  stamp: Stamp,
  tile: string,
  what: HoleStep,
  holes: readonly HoleRef[],
  state: TileState,
): Entry {
  const knows = holes.flatMap((hole) => (state.holes.get(hole)?.place ?? []).map(({ id }) => id));
  return { ...stamp, what, tile, holes: [...holes], ...(knows.length > 0 ? { knows } : {}) };
}

type Told<T> = T extends Entry ? Omit<T, keyof Stamp | "tile" | "hole" | "knows"> : never;

/** Where a hole is: spoilt, moved, given up, as planned. Also how somebody decides between what two have said. */
export function sayPlace(
  stamp: Stamp,
  tile: string,
  hole: HoleRef,
  told: Told<PlaceEntry>,
  state: TileState,
): PlaceEntry {
  const before = state.holes.get(hole);
  const ticks = before ? Object.values(before.ticks).flat() : [];
  const knows = [...(before?.place ?? []), ...ticks].map(({ id }) => id);
  return { ...stamp, ...told, tile, hole, knows: [...new Set(knows)] } as PlaceEntry;
}

/** How the strand of a hole is: dead, weak, lit, replaced. */
export function sayStrand(
  stamp: Stamp,
  tile: string,
  hole: HoleRef,
  told: Told<StrandEntry>,
  state: TileState,
): StrandEntry {
  const knows = (state.holes.get(hole)?.strand ?? []).map(({ id }) => id);
  return { ...stamp, ...told, tile, hole, knows } as StrandEntry;
}

/** Takes a step back; null where nobody has done it. */
export function untick(
  stamp: Stamp,
  tile: string,
  step: HoleStep | TileStep,
  holes: readonly HoleRef[],
  state: TileState,
): Entry | null {
  const ofTile = state.steps.get(step as TileStep);
  const of = ofTile ?? holes.flatMap((hole) => state.holes.get(hole)?.ticks[step as HoleStep] ?? []);
  if (of.length === 0) return null;
  const ids = [...new Set(of.map(({ id }) => id))];
  return { ...stamp, what: "undone", tile, of: ids, ...(ofTile ? {} : { holes: [...holes] }) };
}

/** Takes back entries of one tile, whole. */
export const undo = (stamp: Stamp, tile: string, entries: readonly Entry[]): Entry => ({
  ...stamp,
  what: "undone",
  ...(tile === "" ? {} : { tile }),
  of: entries.map(({ id }) => id),
});

/** Whether a step is done on a hole; a hole that was given up wants nothing any more. */
export const isDone = (state: HoleState | undefined, step: HoleStep): boolean =>
  state !== undefined && state.ticks[step].length > 0;
/** Its strand is dead or weak, as far as anybody has said: somebody will come for it. */
export const isFaulty = (state: HoleState | undefined): boolean =>
  state !== undefined && state.strand.some(({ what }) => what === "dead" || what === "weak");
export const isGivenUp = (state: HoleState | undefined): boolean =>
  state !== undefined && state.place.length > 0 && state.place.every(({ what }) => what === "given up");
