import {
  areaOf,
  boxArea,
  boxesTouch,
  boxOf,
  containsPoint,
  grow,
  intersect,
  isEmpty,
  nearestOnBoundary,
  subtract,
  unite,
} from "../geometry/area.ts";
import type { Area, PointUm } from "../geometry/types.ts";
import { pointToUm, toMm, toUm } from "../geometry/um.ts";
import type { Ceiling, Tile } from "../ceiling/types.ts";
import { inBoth, type Warning } from "../job/faults.ts";
import { formatLength, ruleMm, type LengthUnits } from "../job/units.ts";
import { NO_GO } from "../job/noGoKinds.ts";
import type { BundlesSection, EngineEntry } from "../job/sections/bundles.ts";
import type { BundleFault } from "./types.ts";
import { FACTS } from "../trade/facts.ts";

/** Where no building is drawn, an engine may stand this far outside the room: a cabinet behind a wall. Ours. */
const CABINET_DEPTH_MM = 1000;
/** Half the width of the way from an engine outside the room into the void. */
const WAY_IN_UM = 10_000;

/** The void above the ceiling as far as bundles may run in it. */
export interface VoidSpace {
  free: Area;
  /** x and y of everything that a shortest way may bend at, micrometres. */
  xs: number[];
  ys: number[];
}

/** Whether an obstacle stands in the way of the runs, or is high enough to pass beneath. */
const blocks = (undersideMm: number, { riseM }: BundlesSection): boolean => undersideMm <= riseM * 1000;

/**
 * The outline (and the ways in from engines outside it) without the obstacles that reach down to the runs.
 * Tiles left plain and hatches are there to be opened, and air outlets have their duct above them: runs
 * keep off these too, unless `overPlain`.
 */
export function voidSpace(section: BundlesSection, ceiling: Ceiling, { overPlain = false } = {}): VoidSpace {
  const ways = section.engines.flatMap(({ atMm }): Area[] => {
    const at = pointToUm(atMm);
    if (containsPoint(ceiling.outline, at.x, at.y)) return [];
    const { point } = nearestOnBoundary(ceiling.outline, at.x, at.y)!;
    return [wayIn(at, { x: Math.round(point.x), y: Math.round(point.y) })];
  });
  const obstacles = section.obstacles
    .filter(({ undersideMm }) => blocks(undersideMm, section))
    .map(({ polygonMm, clearanceMm }) => ({
      shape: areaOf(polygonMm.map(pointToUm)),
      byUm: toUm(clearanceMm),
    }));
  if (!overPlain) {
    // Half a tee more than the tile closes the slit between it and its neighbour or the wall.
    const plain = ceiling.tiles.filter(({ use }) => use === "plain");
    for (const { outline } of plain)
      obstacles.push({ shape: outline, byUm: toUm(ceiling.grid.teeFaceMm / 2) });
    for (const { source, grown } of ceiling.noGo)
      if (NO_GO[source.kind].opened) obstacles.push({ shape: grown, byUm: 0 });
  }
  const room = unite([ceiling.outline, ...ways]);
  const grown = obstacles.map(({ shape, byUm }) => grow(shape, byUm));
  const bends = [
    ...room.flat(),
    ...obstacles.flatMap(({ shape, byUm }) =>
      shape.flat().flatMap(({ x, y }) => [
        { x: x - byUm, y: y - byUm },
        { x: x + byUm, y: y + byUm },
      ]),
    ),
  ];
  return {
    free: grown.length > 0 ? subtract(room, unite(grown)) : room,
    xs: bends.map((p) => p.x),
    ys: bends.map((p) => p.y),
  };
}

function wayIn(from: PointUm, to: PointUm): Area {
  return boxArea({
    minX: Math.min(from.x, to.x) - WAY_IN_UM,
    maxX: Math.max(from.x, to.x) + WAY_IN_UM,
    minY: Math.min(from.y, to.y) - WAY_IN_UM,
    maxY: Math.max(from.y, to.y) + WAY_IN_UM,
  });
}

/** Engines that stand outside the building, each with how far. */
export function outsideFaults(section: BundlesSection, ceiling: Ceiling): BundleFault[] {
  const { buildingMm } = section;
  const building = buildingMm ? unite([areaOf(buildingMm.map(pointToUm)), ceiling.outline]) : ceiling.outline;
  const allowedMm = buildingMm ? 0 : CABINET_DEPTH_MM;
  return section.engines.flatMap(({ letter, atMm }: EngineEntry, i): BundleFault[] => {
    const at = pointToUm(atMm);
    if (containsPoint(building, at.x, at.y)) return [];
    const awayMm = toMm(Math.sqrt(nearestOnBoundary(building, at.x, at.y)!.distance2));
    if (awayMm <= allowedMm) return [];
    return [
      {
        code: "engine-outside",
        path: `bundles.engines[${i}].atMm`,
        ...inBoth((units) => ({
          expected: buildingMm
            ? "a place inside the building"
            : `a place within ${formatLength(allowedMm, units)} of the room`,
          got: `engine ${letter} ${formatLength(Math.round(awayMm - allowedMm), units)} too far outside`,
        })),
        next: "Move the engine, or draw how far the building reaches in bundles.buildingMm.",
      },
    ];
  });
}

/** Free height over a tile in mm: the void's, or less under an obstacle; null = nobody measured. */
export function freeHeightMm(section: BundlesSection, voidMm: number | null, tile: Tile): number | null {
  let least = voidMm;
  for (const { polygonMm, undersideMm } of section.obstacles) {
    if (least !== null && undersideMm >= least) continue;
    const shape = areaOf(polygonMm.map(pointToUm));
    if (!boxesTouch(boxOf(shape), tile.box)) continue;
    if (!isEmpty(intersect(shape, tile.outline))) least = undersideMm;
  }
  return least;
}

/** Tiles that can't come down whole, tiles too shallow for the bend of their thickest strand, runs too high. */
export function heightWarnings(
  section: BundlesSection,
  voidMm: number | null,
  tiles: readonly { tile: Tile; thickestMm: number }[],
): Warning[] {
  const warnings: Warning[] = [];
  if (voidMm === null)
    warnings.push({
      code: "void-not-measured",
      message:
        "The void was not measured: whether every tile can be lifted and every strand can bend is not known.",
      path: "ceiling.voidMm",
    });
  else if (section.riseM * 1000 > voidMm) {
    const riseMm = Math.round(section.riseM * 1000);
    const words = (units: LengthUnits) => ({
      message: `Runs ${formatLength(riseMm, units)} above the tiles do not fit a void of ${formatLength(voidMm, units)}.`,
    });
    warnings.push({ code: "runs-too-high", ...inBoth(words), path: "bundles.riseM" });
  }
  const low: Low[] = [];
  for (const { tile, thickestMm } of tiles) {
    const heightMm = freeHeightMm(section, voidMm, tile);
    if (heightMm === null) continue;
    const at = { tile: tile.name, heightMm };
    if (heightMm < FACTS.liftMm.value)
      low.push({ ...at, code: "tile-cannot-lift", neededMm: FACTS.liftMm.value });
    else if (heightMm < FACTS.liftEasyMm.value)
      low.push({ ...at, code: "tile-lifts-hard", neededMm: FACTS.liftEasyMm.value });
    const neededMm = section.bendFactor * thickestMm;
    if (heightMm < neededMm) low.push({ ...at, code: "bend-too-tight", neededMm });
  }
  warnings.push(...lowWords(low));
  return warnings;
}

type LowCode = "tile-cannot-lift" | "tile-lifts-hard" | "bend-too-tight";

interface Low {
  code: LowCode;
  tile: string;
  heightMm: number;
  neededMm: number;
}

const LOW_WORDS: Record<LowCode, (one: boolean, needed: string) => string> = {
  "tile-cannot-lift": (_, needed) => `can't be lifted out whole: ${needed} are needed above a tile`,
  "tile-lifts-hard": (one, needed) =>
    `${one ? "is" : "are"} hard to lift: ${needed} above a tile are comfortable`,
  "bend-too-tight": (one, needed) =>
    `${one ? "is" : "are"} too shallow for ${one ? "its" : "their"} thickest strands: up to ${needed} are needed to bend`,
};

const SHOP_RULES_MM: readonly number[] = [FACTS.liftMm.value, FACTS.liftEasyMm.value];

/** Tiles of one trouble in one remark, the lowest first. */
function lowWords(low: readonly Low[]): Warning[] {
  return (Object.keys(LOW_WORDS) as LowCode[]).flatMap((code): Warning[] => {
    const own = low.filter((one) => one.code === code).sort((a, b) => a.heightMm - b.heightMm);
    if (own.length === 0) return [];
    const one = own.length === 1;
    const needed = Math.max(...own.map(({ neededMm }) => neededMm));
    const heights = new Map<number, string[]>();
    for (const { tile, heightMm } of own) heights.set(heightMm, [...(heights.get(heightMm) ?? []), tile]);
    const who = one ? `Tile ${own[0]!.tile}` : `${own.length} tiles`;
    const words = (units: LengthUnits) => {
      const where = [...heights].map(([mm, names]) => `${formatLength(mm, units)} above ${names.join(", ")}`);
      return {
        message: `${who} ${LOW_WORDS[code](one, formatLength(SHOP_RULES_MM.includes(needed) ? ruleMm(needed, units) : needed, units))}; there are ${where.join("; ")}.`,
      };
    };
    return [{ code, ...inBoth(words) }];
  });
}
