import type { Ceiling } from "../ceiling/types.ts";
import { areaMm2 } from "../geometry/area.ts";
import type { TakeoffSection } from "../job/sections/takeoff.ts";
import { coveredTiles } from "./blanks.ts";
import type { Blank, StrandFacts, TileWeight } from "./types.ts";

/** Density of PMMA, g/cm3 (TRADE 1c). */
const PMMA_DENSITY = 1.19;
/** Length of each strand that its tile carries: fan, ends, part of the slack (common practice, no source). */
const STRAND_ON_TILE_M = 1;
/** Two dots of hot glue to a strand: 0.13 cm3 each at about 0.95 g/cm3 (TRADE 5). */
const GLUE_G_PER_STRAND = 0.25;
/** What a tile should not get on top of its own weight (TRADE 7 row 19). */
export const MOST_ADDED_KG_PER_M2 = 0.55;

/** Load on a main runner that bends it by 1/360 of a span of 4 ft, kg/m (ASTM C635). An appearance limit. */
export const GRID_CLASS_KG_PER_M = { light: 7.4, intermediate: 17.9, heavy: 23.8 } as const;

/** Grams a metre of strand weighs. */
export const strandGPerM = (diameterMm: number): number =>
  (Math.PI / 4) * diameterMm * diameterMm * PMMA_DENSITY;

/** What each covered tile weighs when it is done. */
export function tileWeights(
  ceiling: Ceiling,
  section: TakeoffSection,
  blanks: readonly Blank[],
  { strands }: StrandFacts,
): TileWeight[] {
  const { fabric, grid } = section;
  const blankOf = new Map(
    blanks.map((blank) => [blank.name, (blank.acrossUm / 1e6) * (blank.alongUm / 1e6)]),
  );
  const strandsG = new Map<string, number>();
  for (const { tile, diameterMm } of strands) {
    const own = strandGPerM(diameterMm) * STRAND_ON_TILE_M + GLUE_G_PER_STRAND;
    strandsG.set(tile, (strandsG.get(tile) ?? 0) + own);
  }
  return coveredTiles(ceiling).map(({ name, outline }) => {
    const areaM2 = areaMm2(outline) / 1e6;
    const addedKg =
      blankOf.get(name)! * fabric.kgPerM2 + areaM2 * grid.adhesiveKgPerM2 + (strandsG.get(name) ?? 0) / 1000;
    const totalKg = areaM2 * grid.tileKgPerM2 + addedKg;
    return {
      tile: name,
      areaM2: rounded(areaM2, 4),
      addedKg: rounded(addedKg, 3),
      addedKgPerM2: rounded(addedKg / areaM2, 3),
      totalKg: rounded(totalKg, 3),
      loadKgPerM: rounded((totalKg / areaM2) * (grid.mainSpacingMm / 1000), 2),
    };
  });
}

const rounded = (value: number, digits: number): number => Number(value.toFixed(digits));
