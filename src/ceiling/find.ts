import { UM_PER_MM } from "../geometry/um.ts";
import {
  boxOf,
  containsPoint,
  nearestOnBoundary,
  prepareArea,
  ROUNDING_UM,
  type PreparedArea,
} from "../geometry/area.ts";
import type { Area, BoxUm } from "../geometry/types.ts";
import { formatLength, type LengthUnits } from "../job/units.ts";
import { lineUm, stripAt } from "./grid.ts";
import { FACTS } from "../trade/facts.ts";
import type { Ceiling, Tile } from "./types.ts";
import { zoneName } from "./zones.ts";

/** Which hard rule refuses a point. */
export type HindranceRule = "outside" | "use" | "zone" | "tee" | "edge" | "wall";

export interface Hindrance {
  rule: HindranceRule;
  /** In words, e.g. "within 50 mm of sprinkler 'head 1'". */
  text: string;
}

/** Looks up tiles by the strips of the grid; made once for a ceiling. */
interface Finder {
  cells: Map<string, { tile: Tile; usable: PreparedArea | null }[]>;
  zones: { box: BoxUm }[];
}

const finders = new WeakMap<Ceiling, Finder>();

function finderOf(ceiling: Ceiling): Finder {
  let finder = finders.get(ceiling);
  if (!finder) {
    finder = { cells: new Map(), zones: ceiling.noGo.map((zone) => ({ box: boxOf(zone.grown) })) };
    for (const tile of ceiling.tiles) {
      const key = cellKey(ceiling, (tile.box.minX + tile.box.maxX) / 2, (tile.box.minY + tile.box.maxY) / 2);
      const entry = { tile, usable: tile.usable.length ? prepareArea(tile.usable) : null };
      finder.cells.set(key, [...(finder.cells.get(key) ?? []), entry]);
    }
    finders.set(ceiling, finder);
  }
  return finder;
}

const cellKey = ({ grid }: Ceiling, xUm: number, yUm: number): string =>
  `${stripAt(grid, 0, xUm)},${stripAt(grid, 1, yUm)}`;

const cellAt = (ceiling: Ceiling, xUm: number, yUm: number) =>
  finderOf(ceiling).cells.get(cellKey(ceiling, xUm, yUm)) ?? [];

/** The tile that a point lies on, its edge included; null in the gaps between tiles and outside. */
export function tileAt(ceiling: Ceiling, xUm: number, yUm: number): Tile | null {
  return cellAt(ceiling, xUm, yUm).find(({ tile }) => containsPoint(tile.outline, xUm, yUm))?.tile ?? null;
}

/** Whether a hole may lie at a point, whatever other holes there are. Exact. */
export function usableAt(ceiling: Ceiling, xUm: number, yUm: number): boolean {
  return cellAt(ceiling, xUm, yUm).some(({ usable }) => usable?.contains(xUm, yUm));
}

/** The hard rule that refuses a point, in words; "" where a hole may lie. Coordinates in whole micrometres. */
export function whyNot(ceiling: Ceiling, xUm: number, yUm: number, units: LengthUnits = "mm"): string {
  return hindranceAt(ceiling, xUm, yUm, units)?.text ?? "";
}

/**
 * The hard rule that refuses a point, or null: first the room, then no-go zones, the tile's use, the wall
 * angle, the tees, the tile's edge.
 */
export function hindranceAt(
  ceiling: Ceiling,
  xUm: number,
  yUm: number,
  units: LengthUnits = "mm",
): Hindrance | null {
  if (usableAt(ceiling, xUm, yUm)) return null;
  if (!containsPoint(ceiling.outline, xUm, yUm)) return { rule: "outside", text: "outside the room" };
  return (
    zoneHindrance(ceiling, xUm, yUm, units) ??
    useHindrance(ceiling, xUm, yUm) ??
    wallHindrance(ceiling, xUm, yUm, units) ??
    teeHindrance(ceiling, xUm, yUm) ??
    edgeHindrance(ceiling, xUm, yUm, units)
  );
}

function zoneHindrance(ceiling: Ceiling, x: number, y: number, units: LengthUnits): Hindrance | null {
  const { zones } = finderOf(ceiling);
  for (const [i, { source, index, shape, grown }] of ceiling.noGo.entries()) {
    const { box } = zones[i]!;
    if (x < box.minX || x > box.maxX || y < box.minY || y > box.maxY || !containsPoint(grown, x, y)) continue;
    const name = zoneName(source, index);
    const on = source.clearanceMm === 0 || containsPoint(shape, x, y);
    return {
      rule: "zone",
      text: on ? `on ${name}` : `within ${formatLength(source.clearanceMm, units)} of ${name}`,
    };
  }
  return null;
}

function useHindrance(ceiling: Ceiling, x: number, y: number): Hindrance | null {
  const tile = tileAt(ceiling, x, y);
  if (!tile || tile.use === "stars") return null;
  const text =
    tile.use === "plain"
      ? `tile ${tile.name} is left plain`
      : `tile ${tile.name} is covered but takes no strands`;
  return { rule: "use", text: tile.why ? `${text} (${tile.why})` : text };
}

function teeHindrance({ grid }: Ceiling, x: number, y: number): Hindrance | null {
  const under = ([0, 1] as const).some((axis) => {
    const at = axis === 0 ? x : y;
    const k = stripAt(grid, axis, at);
    const nearest = Math.min(at - lineUm(grid, axis, k), lineUm(grid, axis, k + 1) - at);
    return nearest <= (grid.teeFaceMm * UM_PER_MM) / 2;
  });
  return under ? { rule: "tee", text: "under a tee" } : null;
}

function wallHindrance(ceiling: Ceiling, x: number, y: number, units: LengthUnits): Hindrance | null {
  const reachMm = ceiling.grid.wallAngleMm + FACTS.sightMarginMm.value;
  for (const wall of ceiling.walls) {
    const line: Area = [[wall.fromUm, wall.toUm]];
    const { distance2 } = nearestOnBoundary(line, x, y)!;
    if (distance2 < (reachMm * UM_PER_MM + ROUNDING_UM) ** 2)
      return {
        rule: "wall",
        text: `within ${formatLength(reachMm, units)} of ${wall.name}, at the wall angle`,
      };
  }
  return null;
}

function edgeHindrance(ceiling: Ceiling, x: number, y: number, units: LengthUnits): Hindrance {
  const tile = tileAt(ceiling, x, y);
  if (tile)
    return {
      rule: "edge",
      text: `within ${formatLength(ceiling.grid.edgeKeepOutMm, units)} of the edge of tile ${tile.name}`,
    };
  return { rule: "edge", text: "in the gap beside a tile, or where a piece was too thin to be one" };
}
