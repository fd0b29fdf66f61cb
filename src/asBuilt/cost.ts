import type { IssuedTile } from "../issue/packed.ts";
import type { Entry, HoleStep } from "../record/entry.ts";
import { byTile, tileState } from "../record/state.ts";

/** How far a tile is, as the record tells. */
export interface Begun {
  tile: string;
  punched: number;
  /** Strands, not holes. */
  threaded: number;
  glued: number;
  /** "taped", "hung" ...: what was done with the tile as a whole, in the order of the work. */
  steps: string[];
}

/** Steps that leave nothing behind when a tile's holes change. */
const HARMLESS: readonly string[] = ["taken down", "covered"];

/** The issued tiles that somebody has begun: changing them undoes work. */
export function begunTiles(issued: readonly IssuedTile[], entries: readonly Entry[]): Begun[] {
  const told = byTile(entries);
  return issued.flatMap(({ tile, holes }): Begun[] => {
    const { holes: states, steps } = tileState(told.get(tile) ?? []);
    const strands = new Map(holes.map(({ hole }) => [hole.numberInTile, hole.strands]));
    const count = (step: HoleStep, of: (hole: number | string) => number) =>
      [...states].reduce((sum, [hole, state]) => sum + (state.ticks[step].length > 0 ? of(hole) : 0), 0);
    const strandsOf = (hole: number | string) => (typeof hole === "number" ? (strands.get(hole) ?? 1) : 1);
    const begun: Begun = {
      tile,
      punched: count("punched", () => 1),
      threaded: count("threaded", strandsOf),
      glued: count("glued", strandsOf),
      steps: [...steps.keys()].filter((step) => !HARMLESS.includes(step)),
    };
    return begun.punched + begun.threaded + begun.glued + begun.steps.length > 0 ? [begun] : [];
  });
}

const some = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`;

/** What working a tile out anew would cost: "A1: 34 holes punched in vain, tile and cloth with them; 12 strands to draw out again". */
export function costWords({ tile, punched, threaded, glued, steps }: Begun): string {
  const parts = [
    punched > 0 && `${some(punched, "hole")} punched in vain, tile and cloth with them`,
    threaded > 0 && `${some(threaded, "strand")} to draw out again`,
    glued > 0 && `${some(glued, "glued strand")} left out`,
    steps.length > 0 && `done already: ${steps.join(", ")}`,
  ].filter((words) => words !== false);
  return `${tile}: ${parts.join("; ")}`;
}
