import { countStrands, holeLight } from "../pattern/packing.ts";
import type { Hole } from "../pattern/types.ts";
import type { BundlesSection } from "../job/sections/bundles.ts";
import type { Lengths } from "./lengths.ts";
import { classFor, nestedLimits, portUse, supplyOf, type NestedLimit, type Supply } from "./supply.ts";

/** Holes of one tile that are alike to every engine: same strands in each, same class of length with each. */
export interface Group {
  diameterMm: number;
  /** In each hole. */
  strands: number;
  /** Of each hole. */
  port: number;
  /** Indices into the tile's holes. */
  members: number[];
  /** Where the members stand among all holes by brightness, 0 first; rising. */
  ranks: number[];
  /** By engine: class of length, -1 where that engine can't serve them. */
  classes: number[];
  /** Sum of the members' fans, mm, each counted once. */
  fanMm: number;
}

/** A tile to be given to an engine. */
export interface TileNeed {
  name: string;
  row: number;
  column: number;
  groups: Group[];
  strands: number;
  /** By engine: mm for a strand without its fan. */
  baseMm: number[];
  /** Engine that a person chose, or -1. */
  fixed: number;
}

/** Who could light what, at which length: all that sharing-out needs to know. Lengths whole mm. */
export interface Problem {
  tiles: TileNeed[];
  supplies: Supply[];
  limits: NestedLimit[][];
  /** Pairs of tiles that share a border. */
  borders: [number, number][];
  splitCostMm: number;
  borderCostMm: number;
}

export function makeProblem(
  section: BundlesSection,
  lengths: Lengths,
  left: (whole: Supply) => Supply = (whole) => whole,
): Problem {
  const diameters = [...new Set(lengths.tiles.flatMap(({ holes }) => holes.map((h) => h.diameterMm)))];
  const supplies = lengths.engines.map((engine) => left(supplyOf(engine, section, diameters)));
  const letters = lengths.engines.map(({ letter }) => letter);
  const ranked = lengths.tiles.flatMap(({ holes }) => holes).sort(brightestFirst);
  const rankOf = new Map(ranked.map((hole, rank) => [hole, rank]));
  const tiles = lengths.tiles.map(({ tile, holes, fansMm }, t): TileNeed => {
    const baseMm = lengths.baseMm.map((toTiles) => toTiles[t]!);
    const groups = new Map<string, Group>();
    holes.forEach((hole, i) => {
      const { diameterMm, strands } = hole;
      const fan = fansMm[i]!;
      const classes = supplies.map((supply, e) => classFor(supply, diameterMm, baseMm[e]! + fan));
      const key = `${strands}:${diameterMm}:${classes.join()}`;
      const group = groups.get(key) ?? {
        diameterMm,
        strands,
        port: strands * portUse(diameterMm),
        members: [],
        ranks: [],
        classes,
        fanMm: 0,
      };
      group.members.push(i);
      group.ranks.push(rankOf.get(hole)!);
      group.fanMm += fan;
      groups.set(key, group);
    });
    for (const { ranks } of groups.values()) ranks.sort((p, q) => p - q);
    const chosen = section.fixed[tile.name];
    return {
      name: tile.name,
      row: tile.row,
      column: tile.column,
      groups: [...groups.values()],
      strands: countStrands(holes),
      baseMm,
      fixed: chosen === undefined ? -1 : letters.indexOf(chosen),
    };
  });
  return {
    tiles,
    supplies,
    limits: supplies.map(nestedLimits),
    borders: bordersOf(tiles),
    splitCostMm: Math.round(section.splitCostM * 1000),
    borderCostMm: Math.round(section.borderCostM * 1000),
  };
}

/** Most light first, then the brighter star, filler last: who is lit first, and missed most where engines are full. */
export const brightestFirst = (a: Hole, b: Hole): number =>
  holeLight(b) - holeLight(a) || magnitudeOf(a) - magnitudeOf(b) || a.id - b.id;
const magnitudeOf = ({ magnitude }: Hole): number => magnitude ?? 99;

/** Pairs of tiles beside one another, by their places in the list. */
export function bordersOf(tiles: readonly { row: number; column: number }[]): [number, number][] {
  const byCell = new Map<string, number[]>();
  tiles.forEach(({ row, column }, t) => {
    const key = `${row},${column}`;
    byCell.set(key, [...(byCell.get(key) ?? []), t]);
  });
  return tiles.flatMap(({ row, column }, t) =>
    [`${row},${column + 1}`, `${row + 1},${column}`].flatMap((key) =>
      (byCell.get(key) ?? []).map((other): [number, number] => [t, other]),
    ),
  );
}

/** Holes that each engine gets of each group of each tile: [tile][group][engine]. The rest stays unlit. */
export type Shares = number[][][];

/** Millimetres of strand for one hole of a group with an engine, its fan being the group's mean. */
export const holeCostMm = (tile: TileNeed, group: Group, engine: number): number =>
  group.strands * (tile.baseMm[engine]! + group.fanMm / group.members.length);

export interface Cost {
  /** Strand, split tiles and borders weighed together; unlit holes left out. */
  totalMm: number;
  strandMm: number;
  unlit: number;
  splits: number[];
  borders: number;
}

/** What a sharing-out costs, whoever made it. */
export function costOf(problem: Problem, shares: Shares): Cost {
  let strandMm = 0;
  let unlit = 0;
  const splits: number[] = [];
  const owners = problem.tiles.map((tile, t) => {
    const engines = new Set<number>();
    tile.groups.forEach((group, g) => {
      let lit = 0;
      shares[t]![g]!.forEach((count, e) => {
        if (count === 0) return;
        lit += count;
        engines.add(e);
        strandMm += count * holeCostMm(tile, group, e);
      });
      unlit += group.members.length - lit;
    });
    if (engines.size > 1) splits.push(t);
    return engines;
  });
  const extraTails = owners.reduce((sum, { size }) => sum + Math.max(0, size - 1), 0);
  const borders = problem.borders.filter(([a, b]) => !sameOwners(owners[a]!, owners[b]!)).length;
  const totalMm = strandMm + extraTails * problem.splitCostMm + borders * problem.borderCostMm;
  return { totalMm, strandMm, unlit, splits, borders };
}

/** Neighbours are together where one of the two has no engine that the other lacks. */
function sameOwners(a: ReadonlySet<number>, b: ReadonlySet<number>): boolean {
  return [...a].every((e) => b.has(e)) || [...b].every((e) => a.has(e));
}

/** Shares with nobody lit. */
export const noShares = ({ tiles, supplies }: Problem): Shares =>
  tiles.map(({ groups }) => groups.map(() => supplies.map(() => 0)));
