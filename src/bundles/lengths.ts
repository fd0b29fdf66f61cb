import type { Ceiling, Tile } from "../ceiling/types.ts";
import { containsPoint } from "../geometry/area.ts";
import type { PointUm } from "../geometry/types.ts";
import { UM_PER_MM, pointToUm, toMm } from "../geometry/um.ts";
import type { BundlesSection, EngineEntry } from "../job/sections/bundles.ts";
import type { Hole } from "../pattern/types.ts";
import { lengthUm, VoidGrid } from "./route.ts";
import { voidSpace, type VoidSpace } from "./voidSpace.ts";
import { groupBy } from "../groupBy.ts";

/** A tile with holes, and where its tail enters: the middle of the tile, or the hole nearest to it. */
export interface TileHoles {
  tile: Tile;
  holes: Hole[];
  /** null: no spot of the tile can be reached through the void. */
  entry: PointUm | null;
  /** Straight from the entry to each hole, whole mm upward. */
  fansMm: number[];
}

/** Ways and lengths from every engine to every tile. */
export interface Lengths {
  tiles: TileHoles[];
  engines: readonly EngineEntry[];
  /** By engine, then tile: corners of the run, or null where there is no way. */
  routes: (PointUm[] | null)[][];
  /** Tails whose run can't help crossing a plain tile, a hatch or an air outlet: "A-C4". */
  overPlain: Set<string>;
  /** By engine, then tile: everything but the fan, whole mm upward; Infinity where there is no way. */
  baseMm: number[][];
}

/** From the engine's port up to the runs, in mm; 0 for an engine at their height. */
export function engineRiseMm(engine: EngineEntry, section: BundlesSection, ceilingMm: number): number {
  return engine.heightMm === null ? 0 : Math.max(0, ceilingMm + section.riseM * 1000 - engine.heightMm);
}

/**
 * Length of a strand = rise from the engine + right-angled run above the grid + drop to the tile's back +
 * tile slack + fan from the tail's entry to the hole + allowance at both ends (common practice, no source);
 * never rounded down.
 */
export function measureLengths(
  section: BundlesSection,
  ceiling: Ceiling,
  ceilingMm: number,
  holes: readonly Hole[],
): Lengths {
  const space = voidSpace(section, ceiling);
  const starts = section.engines.map(({ atMm }) => pointToUm(atMm));
  const parts = partsOf(ceiling, holes);
  const wishes = parts.flatMap(({ tile }) => middleOf(tile) ?? []);
  // Entries are chosen on a first grid; those that had to move need lines of their own on the second.
  const clear = new VoidGrid(space, []);
  const tiles = parts.map((part) => withEntry(part, clear));
  const points = [...starts, ...wishes, ...tiles.flatMap(({ entry }) => entry ?? [])];
  const waysIn = (s: VoidSpace) => {
    const grid = new VoidGrid(s, points);
    return starts.map((start) => grid.from(start));
  };
  const routes = waysIn(space).map((way) => tiles.map(({ entry }) => entry && way(entry)));
  const overPlain = new Set<string>();
  // Where there is no way round plain tiles, hatches and outlets, one over them is better than none.
  if (routes.some((own) => own.includes(null)))
    waysIn(voidSpace(section, ceiling, { overPlain: true })).forEach((way, e) =>
      tiles.forEach(({ entry, tile }, t) => {
        if (routes[e]![t] !== null || !entry) return;
        routes[e]![t] = way(entry);
        if (routes[e]![t]) overPlain.add(`${section.engines[e]!.letter}-${tile.name}`);
      }),
    );
  const { riseM, tileSlackM, endAllowanceM } = section;
  const fixedMm = (riseM + tileSlackM + 2 * endAllowanceM) * 1000;
  const baseMm = routes.map((toTiles, e) =>
    toTiles.map((route) =>
      route === null
        ? Infinity
        : Math.ceil(
            rounded(toMm(lengthUm(route)) + fixedMm + engineRiseMm(section.engines[e]!, section, ceilingMm)),
          ),
    ),
  );
  return { tiles, engines: section.engines, routes, overPlain, baseMm };
}

/** Sums of decimals carry stray last digits, which must not turn into a whole millimetre. */
const rounded = (mm: number): number => toMm(Math.round(mm * UM_PER_MM));

function partsOf(ceiling: Ceiling, holes: readonly Hole[]): { tile: Tile; holes: Hole[] }[] {
  const byTile = groupBy(holes, ({ tile }) => tile);
  return ceiling.tiles.flatMap((tile) => {
    const own = byTile.get(tile.name);
    return own ? [{ tile, holes: own }] : [];
  });
}

const middleOf = ({ box, outline }: Tile): PointUm | null => {
  const middle = boxMiddle(box);
  return containsPoint(outline, middle.x, middle.y) ? middle : null;
};

const boxMiddle = (box: Tile["box"]): PointUm => ({
  x: Math.floor((box.minX + box.maxX) / 2),
  y: Math.floor((box.minY + box.maxY) / 2),
});

function withEntry({ tile, holes }: { tile: Tile; holes: Hole[] }, grid: VoidGrid): TileHoles {
  const middle = boxMiddle(tile.box);
  const spots = holes.map(holeUm);
  const nearest = [...spots].sort(
    (p, q) => distance2(p, middle) - distance2(q, middle) || p.x - q.x || p.y - q.y,
  );
  const wish = middleOf(tile);
  const entry = [...(wish ? [wish] : []), ...nearest].find((spot) => grid.isFree(spot)) ?? null;
  const fansMm = spots.map((spot) => (entry ? Math.ceil(toMm(Math.sqrt(distance2(spot, entry)))) : 0));
  return { tile, holes, entry, fansMm };
}

const holeUm = ({ xMm, yMm }: Hole): PointUm => pointToUm([xMm, yMm]);
const distance2 = (p: PointUm, q: PointUm): number => (p.x - q.x) ** 2 + (p.y - q.y) ** 2;
