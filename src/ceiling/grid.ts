import { UM_PER_MM, toMm, toUm } from "../geometry/um.ts";
import type { BoxUm, PointMm } from "../geometry/types.ts";
import { ASSUMED_MM } from "../job/assumed.ts";
import type { Job } from "../job/schema.ts";
import type { Grid } from "./types.ts";
import { FACTS } from "../trade/facts.ts";

const MM_PER_INCH = 25.4;
/** Whether a length is a whole number of inches, as 609.6 mm is and 610 mm isn't. */
export function isWholeInches(mm: number): boolean {
  const inches = mm / MM_PER_INCH;
  return Math.abs(inches - Math.round(inches)) < 1e-6;
}

/** Default size of a full tile for a module: 24 in gives 603.25 mm, 600 mm gives 595 mm. */
export function defaultTileMm([x, y]: PointMm): PointMm {
  const slack = isWholeInches(x) && isWholeInches(y) ? FACTS.inchSlackMm.value : FACTS.metricSlackMm.value;
  return [toMm(toUm(x - slack)), toMm(toUm(y - slack))];
}

/**
 * Default distance of holes from the tile's edge: bearing on the flange + half the slack + 5 mm, which is
 * half the tee face + 5 mm whatever the tile's size.
 */
export const defaultKeepOutMm = (teeFaceMm: number): number => teeFaceMm / 2 + FACTS.sightMarginMm.value;

/**
 * Width of the first border module for equal borders, each more than half a module: the remainder of
 * room / module, add one module, halve. An exact multiple has full modules at the walls; a room smaller
 * than a module is one module. In whole micrometres; the far border may be 1 um wider.
 */
export function balancedBorderUm(spanUm: number, moduleUm: number): number {
  if (spanUm <= moduleUm) return spanUm;
  const remainder = spanUm % moduleUm;
  return remainder === 0 ? moduleUm : Math.floor((remainder + moduleUm) / 2);
}

/** One row or column of modules between two grid lines, in whole micrometres. */
export interface Strip {
  fromUm: number;
  toUm: number;
}

/** Number of the strip that a coordinate lies in, counted from the grid's origin; -1 is the one before it. */
export function stripAt(grid: Grid, axis: 0 | 1, um: number): number {
  const originUm = grid.originMm[axis] * UM_PER_MM;
  const moduleUm = grid.moduleMm[axis] * UM_PER_MM;
  const guess = Math.floor((um - originUm) / moduleUm);
  // A grid line is put on a whole micrometre, so the guess may be one off beside it.
  if (um < lineUm(grid, axis, guess)) return guess - 1;
  return um >= lineUm(grid, axis, guess + 1) ? guess + 1 : guess;
}

/** Centre line of tee k, counted from the grid's origin. */
export const lineUm = (grid: Grid, axis: 0 | 1, k: number): number =>
  Math.round(grid.originMm[axis] * UM_PER_MM + k * grid.moduleMm[axis] * UM_PER_MM);

/** Every strip that shares more than a line with the span, in rising order. */
export function strips(grid: Grid, axis: 0 | 1, fromUm: number, toUm: number): Strip[] {
  const result: Strip[] = [];
  for (let k = stripAt(grid, axis, fromUm); lineUm(grid, axis, k) < toUm; k++)
    result.push({ fromUm: lineUm(grid, axis, k), toUm: lineUm(grid, axis, k + 1) });
  return result;
}

/** The grid with every default resolved over the outline's bounding box. */
export function resolveGrid(grid: Job["ceiling"]["grid"], box: BoxUm): Grid {
  const { moduleMm, teeFaceMm = ASSUMED_MM.teeFaceMm } = grid;
  const origin =
    grid.originMm === "balanced"
      ? ([
          toMm(box.minX + balancedBorderUm(box.maxX - box.minX, toUm(moduleMm[0]))),
          toMm(box.minY + balancedBorderUm(box.maxY - box.minY, toUm(moduleMm[1]))),
        ] satisfies PointMm)
      : grid.originMm;
  const resolved: Grid = {
    moduleMm,
    originMm: origin,
    teeFaceMm,
    tileMm: defaultTileMm(moduleMm).map((mm, axis) => grid.tileMm?.[axis] ?? mm) as PointMm,
    thicknessMm: grid.thicknessMm ?? ASSUMED_MM.thicknessMm,
    wallAngleMm: grid.wallAngleMm ?? ASSUMED_MM.wallAngleMm,
    edgeKeepOutMm: grid.edgeKeepOutMm ?? defaultKeepOutMm(teeFaceMm),
    bordersMm: { left: 0, right: 0, bottom: 0, top: 0 },
  };
  const [left, right] = borders(resolved, 0, box.minX, box.maxX);
  const [bottom, top] = borders(resolved, 1, box.minY, box.maxY);
  resolved.bordersMm = { left, right, bottom, top };
  return resolved;
}

/** Widths in mm of the first and last strip within the span. */
function borders(grid: Grid, axis: 0 | 1, fromUm: number, toUm: number): [number, number] {
  const all = strips(grid, axis, fromUm, toUm);
  const within = ({ fromUm: a, toUm: b }: Strip) => toMm(Math.min(b, toUm) - Math.max(a, fromUm));
  return [within(all[0]!), within(all[all.length - 1]!)];
}
