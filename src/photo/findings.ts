import type { Entry } from "../record/entry.ts";
import { sayPlace, sayStrand, type Stamp } from "../record/say.ts";
import { byTile, tileState, type HoleState, type TileState } from "../record/state.ts";
import type { DarkTest, HoleVerdict } from "./types.ts";
import { toUm } from "../geometry/um.ts";

/** A strand already recorded as moved is not told again where its light is within this of it. */
const SAME_PLACE_UM = 2000;
/** Notes of a record are no longer. */
const MOST_NOTE = 400;

/** As what the ceiling was judged: the record then, and by which entry it names the holes that were added. */
export interface JudgedAs {
  record: readonly Entry[];
  added: readonly { tile: string; number: number; entry?: string }[];
}
const AS_PLANNED: JudgedAs = { record: [], added: [] };

/** What stands of each tile, worked out when it is first asked for. */
function statesOf(entries: readonly Entry[]): (tile: string) => TileState {
  const told = byTile(entries);
  const states = new Map<string, TileState>();
  return (tile) => {
    const known = states.get(tile) ?? tileState(told.get(tile) ?? []);
    states.set(tile, known);
    return known;
  };
}

/**
 * What a dark test has to say for the record of the job: strands dead, weak, off their place, and lit again. What is
 * wrong as a whole (a tail without its plug, a tile in another's place) is mended as a whole and no strand's fault, so
 * it is left out; so is what the record says already. `before`: the entries that are known; `stamp` marks each new one.
 */
export function findingsFor(
  test: DarkTest,
  before: readonly Entry[],
  stamp: () => Stamp,
  judged: JudgedAs = AS_PLANNED,
): Entry[] {
  const stateOf = statesOf(before);
  const judgedStateOf = statesOf(judged.record);
  const added = new Map(judged.added.map(({ tile, number, entry }) => [`${tile} ${number}`, entry]));
  const elsewhere = new Set(test.tiles.flatMap(({ tile, showsTile }) => [tile, showsTile]));
  const together = new Set(test.dark.map(({ words }) => words));
  return test.holes.flatMap((found): Entry[] => {
    const { tile, numberInTile, why } = found;
    if (elsewhere.has(tile) || together.has(why)) return [];
    const state = stateOf(tile);
    const ref = added.get(`${tile} ${numberInTile}`) ?? numberInTile;
    const hole = state.holes.get(ref);
    const note = `dark test by photograph${why ? `: ${why}` : ""}`.slice(0, MOST_NOTE);
    const strand = strandOf(found, hole);
    const byUm = wayOf(found, hole, judgedStateOf(tile).holes.get(ref));
    return [
      ...(strand ? [sayStrand(stamp(), tile, ref, { what: strand, note }, state)] : []),
      ...(byUm ? [sayPlace(stamp(), tile, ref, { what: "moved", byUm, note }, state)] : []),
    ];
  });
}

/** What is to be said of the strand; null where the record says so already, or nothing of it. */
function strandOf({ verdict }: HoleVerdict, hole: HoleState | undefined): "dead" | "weak" | "lit" | null {
  const answers = hole?.strand ?? [];
  const says = (what: string): boolean => answers.length > 0 && answers.every((entry) => entry.what === what);
  if (verdict === "dead") return says("dead") ? null : "dead";
  if (verdict === "dim") return says("weak") ? null : "weak";
  const shines = verdict === "lit" || verdict === "displaced";
  return shines && answers.some(({ what }) => what === "dead" || what === "weak") ? "lit" : null;
}

/** From where the hole was planned; the verdict counts from where the record said it was when it was judged. */
function wayOf(
  { verdict, dxMm, dyMm }: HoleVerdict,
  hole: HoleState | undefined,
  judged: HoleState | undefined,
): [number, number] | null {
  if (verdict !== "displaced" || dxMm === null || dyMm === null) return null;
  const place = judged && !judged.open ? judged.place[0] : undefined;
  const [fromX, fromY] = place?.what === "moved" ? place.byUm : [0, 0];
  const [x, y] = [fromX + toUm(dxMm), fromY + toUm(dyMm)];
  const known = (hole?.place ?? []).some(
    (entry) => entry.what === "moved" && Math.hypot(entry.byUm[0] - x, entry.byUm[1] - y) < SAME_PLACE_UM,
  );
  return known ? null : [x, y];
}

/** How many strands of each kind, for whoever takes them over: "3 dead, 1 moved"; "" for nothing. */
export function findingWords(entries: readonly Entry[]): string {
  const kinds = ["dead", "weak", "moved", "lit"] as const;
  const count = (kind: string): number => entries.filter(({ what }) => what === kind).length;
  return kinds
    .filter((kind) => count(kind) > 0)
    .map((kind) => `${count(kind)} ${kind === "lit" ? "lit again" : kind}`)
    .join(", ");
}
