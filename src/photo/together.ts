import { groupBy } from "../groupBy.ts";
import type { Tail } from "../bundles/types.ts";
import type { Near } from "./near.ts";
import type { StrandEnd } from "./places.ts";
import type { DarkGroup, Verdict } from "./types.ts";

/** Which tail lights a hole; null where nothing is bundled. */
export type TailOf = (holeId: number) => Pick<Tail, "name" | "engine" | "tile"> | null;

/** A tail is called dark where at least so many of its strands are seen, and nearly all of them are dark. */
const LEAST_TAIL = 4;
const NEARLY_ALL = 0.9;
/** So many dark strands beside each other are no chance: something is in front of them. */
const LEAST_HIDDEN = 6;
/** Neighbours: within this many times the local spacing. */
const BESIDE = 1.6;

/** Tails, engines, or where no engine is known tiles, that are dark as a whole. */
export function darkGroups(
  places: readonly StrandEnd[],
  verdicts: readonly Verdict[],
  tailOf: TailOf,
): DarkGroup[] {
  const seen = places
    .map((_, i) => i)
    .filter((i) => verdicts[i] !== "not in the picture" && verdicts[i] !== "unlit");
  const groups = [
    ...groupBy(seen, (i) => tailOf(places[i]!.hole.id)?.name ?? `tile ${places[i]!.hole.tile}`),
  ];
  const isDark = (own: readonly number[]): boolean => {
    const dark = own.filter((i) => verdicts[i] === "dead" || verdicts[i] === "hidden").length;
    const told = own.filter((i) => verdicts[i] !== "unsure").length;
    return dark >= LEAST_TAIL && dark >= NEARLY_ALL * told;
  };
  const strandsOf = (own: readonly number[]): number =>
    own.reduce((sum, i) => sum + places[i]!.hole.strands, 0);
  const dark = groups.flatMap(([, own]): DarkGroup[] => {
    if (!isDark(own)) return [];
    const tail = tailOf(places[own[0]!]!.hole.id);
    const { tile } = places[own[0]!]!.hole;
    const strands = strandsOf(own);
    if (!tail)
      return [{ kind: "tile", name: tile, tiles: [tile], engine: null, strands, words: `All ${strands} strands of ${tile} are dark: is its tail plugged in?` }]; // prettier-ignore
    const words = `Tail ${tail.name} is dark, all ${strands} strands seen of it: look at its plug in the port of engine ${tail.engine}, then along its way to ${tile}.`; // prettier-ignore
    return [{ kind: "tail", name: tail.name, tiles: [tile], engine: tail.engine, strands, words }];
  });
  const byEngine = groupBy(groups, ([, own]) => tailOf(places[own[0]!]!.hole.id)?.engine ?? "");
  for (const [engine, tails] of byEngine) {
    const own = dark.filter((group) => group.engine === engine);
    const all = tails.flatMap(([, some]) => some);
    if (engine === "" || own.length < 2 || !isDark(all)) continue;
    const strands = strandsOf(all);
    const words = `Engine ${engine} is dark: all ${tails.length} of its tails seen here, ${strands} strands. Is it switched on, and does its lamp work?`;
    const whole: DarkGroup = {
      kind: "engine",
      name: engine,
      tiles: tails.map(([, some]) => places[some[0]!]!.hole.tile),
      engine,
      strands,
      words,
    };
    dark.splice(0, dark.length, whole, ...dark.filter((group) => group.engine !== engine));
  }
  return dark;
}

/** Indices of dark places that stand so close together, in no tail's shape, that something must hide them. */
export function hiddenPlaces(
  places: readonly StrandEnd[],
  verdicts: readonly Verdict[],
  near: Near,
  spacingMm: (i: number) => number,
  inGroup: (i: number) => boolean,
): Set<number> {
  const isDark = (i: number) => verdicts[i] === "dead" && !inGroup(i);
  const hidden = new Set<number>();
  const visited = new Set<number>();
  places.forEach((_, start) => {
    if (!isDark(start) || visited.has(start)) return;
    const cluster = [start];
    visited.add(start);
    for (const i of cluster)
      for (const j of near.within(places[i]!.xMm, places[i]!.yMm, BESIDE * spacingMm(i)))
        if (isDark(j) && !visited.has(j)) {
          visited.add(j);
          cluster.push(j);
        }
    if (cluster.length >= LEAST_HIDDEN && !litAmong(cluster, places, verdicts, near)) for (const i of cluster) hidden.add(i); // prettier-ignore
  });
  return hidden;
}

/** Whether lit places stand in the midst of a dark cluster: then strands died one by one. */
function litAmong(
  cluster: readonly number[],
  places: readonly StrandEnd[],
  verdicts: readonly Verdict[],
  near: Near,
): boolean {
  const [x, y] = (["xMm", "yMm"] as const).map(
    (key) => cluster.reduce((sum, i) => sum + places[i]![key], 0) / cluster.length,
  ) as [number, number];
  const round = cluster.map((i) => Math.hypot(places[i]!.xMm - x, places[i]!.yMm - y)).sort((a, b) => a - b);
  const inner = near.within(x, y, round[Math.floor(round.length * 0.6)]!);
  const lit = inner.filter((i) => verdicts[i] === "lit" || verdicts[i] === "dim").length;
  return lit > 0.25 * inner.length;
}
