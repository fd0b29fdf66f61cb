import { zonesByTile, type TileZone } from "../ceiling/tileZones.ts";
import type { Tile } from "../ceiling/types.ts";
import { holdsByTile, type Hold } from "../ceiling/holds.ts";
import type { Planned } from "../plan.ts";
import type { Hole } from "../pattern/types.ts";
import { markStyles, type MarkStyle } from "./marks.ts";
import type { Typeface } from "../drawing/typeface.ts";
import { printable } from "../drawing/words.ts";
import { groupBy } from "../groupBy.ts";

/** Says which engine lights a hole; sheets print what bundles decided. "" where nothing is decided yet. */
export type EngineOf = (hole: Hole) => string;

/** What every sheet of one plan shares. */
export interface SheetContext {
  plan: Planned;
  typeface: Typeface;
  /** The marks' meaning, one for the whole job, so that a shape is the same diameter on every tile. */
  styles: Map<number, MarkStyle>;
  /** The same shapes, smaller, where a tile is drawn at 1 : `by`. */
  shrunkStyles(by: number): Map<number, MarkStyle>;
  engineOf: EngineOf;
  /** Text of the job as it may be printed; characters the font lacks are collected in `missing`. */
  clean(words: string): string;
  missing: Set<string>;
  /** Tiles that wait for somebody's answer. */
  holds: ReadonlyMap<string, Hold[]>;
  /** Between the lines that the bench rules on a tile's back, and the crosses printed on them. */
  ruledMm: number;
  /** The no-go zones that touch a tile, cut to it; worked out once for all its pages. */
  zonesOn(tile: Tile): TileZone[];
}

/** Round numbers on a rule, near enough for two crosses on the smallest page: 100 mm, or 4 in. */
const RULED_MM = { metric: 100, inches: 101.6 } as const;

/** The smallest print on any paper of a job: 2.5 mm, 7.1 points. */
export const FINE_MM = 2.5;

export function sheetContext(
  plan: Planned,
  typeface: Typeface,
  engineOf: EngineOf = () => "",
  missing = new Set<string>(),
): SheetContext {
  const cleaned = new Map<string, string>();
  // each once: styles are made anew for every check sheet
  const diameters = new Set([
    ...plan.job.strands.stock.map((strand) => strand.diameterMm),
    ...plan.pattern.holes.map((hole) => hole.diameterMm),
  ]);
  return {
    plan,
    typeface,
    styles: markStyles(diameters, plan.job.pattern.spacingMm),
    shrunkStyles: (by) => markStyles(diameters, plan.job.pattern.spacingMm / by),
    engineOf,
    clean(words) {
      let known = cleaned.get(words);
      if (known === undefined) cleaned.set(words, (known = printable(words, typeface, missing)));
      return known;
    },
    missing,
    holds: holdsByTile(plan.ceiling),
    ruledMm: plan.job.units === "ft-in" ? RULED_MM.inches : RULED_MM.metric,
    zonesOn: zonesByTile(plan.ceiling),
  };
}

/** A tile that has holes, with them in the order of their numbers. */
export interface TileHoles {
  tile: Tile;
  holes: Hole[];
}

/** Tiles with holes, in the plan's order of tiles. */
export function tilesWithHoles(plan: Planned): TileHoles[] {
  const byTile = groupBy(plan.pattern.holes, ({ tile }) => tile);
  return plan.ceiling.tiles.flatMap((tile) => {
    const holes = byTile.get(tile.name);
    return holes ? [{ tile, holes: [...holes].sort((a, b) => a.numberInTile - b.numberInTile) }] : [];
  });
}

/** "0.75 mm", "1 mm": as the strand is called. */
export const diameterWords = (diameterMm: number): string => `${diameterMm} mm`;

/** A place on a ruled line as its rule reads: "300", or `12"`. */
export const ruledWords = ({ plan }: SheetContext, mm: number): string =>
  plan.job.units === "ft-in" ? `${Math.round(mm / 25.4)}"` : String(Math.round(mm));
