import type { Ceiling } from "../ceiling/types.ts";
import { areaMm2 } from "../geometry/area.ts";
import type { TakeoffSection } from "../job/sections/takeoff.ts";
import { coveredTiles } from "./blanks.ts";
import type { Blank, StrandFacts, TileWeight } from "./types.ts";
import { FACTS } from "../trade/facts.ts";

/** Load on a main runner that bends it by 1/360 of a span of 4 ft. An appearance limit. */
export const GRID_CLASS_KG_PER_M = {
  light: FACTS.lightDutyKgPerM.value,
  intermediate: FACTS.intermediateDutyKgPerM.value,
  heavy: FACTS.heavyDutyKgPerM.value,
} as const;

/** Grams a metre of strand weighs. */
export const strandGPerM = (diameterMm: number): number =>
  (Math.PI / 4) * diameterMm * diameterMm * FACTS.pmmaGPerCm3.value;

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
    const own = strandGPerM(diameterMm) * FACTS.strandOnTileM.value + FACTS.glueGPerStrand.value;
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
