import { labelSheetOf, labelSheetCount } from "../bundles/labelStock.ts";
import type { Bundles } from "../bundles/types.ts";
import { coveredTiles } from "./blanks.ts";
import { assumedFacts, makeTakeoff, type TakeoffInput } from "./takeoff.ts";
import type { PaperFacts, StrandFacts, Takeoff } from "./types.ts";

/** What the takeoff needs of the bundles; lengths are assumed where nothing is bundled. */
export function strandFacts(plan: TakeoffInput, bundles: Bundles, paper: PaperFacts): StrandFacts {
  if (bundles.engines.length === 0) return { ...assumedFacts(plan), paper };
  const kits = new Set(
    bundles.engines
      .filter(({ lots }) => lots.some(({ spare }) => spare !== null))
      .map(({ letter }) => letter),
  );
  const { labels } = plan.job.bundles;
  const lit = new Set(bundles.strands.map(({ tile }) => tile)).size;
  // both ends of every tail, every covered tile, the spares behind each tile with strands
  const spares = plan.job.takeoff.spareStrandsPerTile > 0 ? lit : 0;
  const count = 2 * bundles.tails.length + coveredTiles(plan.ceiling).length + spares;
  return {
    strands: bundles.strands.map(({ tile, diameterMm, lengthM, engine }) => ({
      tile,
      diameterMm,
      lengthM,
      kit: kits.has(engine),
      engine,
    })),
    holes: new Set(bundles.strands.map(({ hole }) => hole)).size,
    tails: bundles.tails.length,
    engines: bundles.engines.length,
    kits: plan.job.bundles.kits.map(({ engine, strands }) => ({ engine, lots: strands })),
    supports: bundles.engines.reduce((sum, { supports }) => sum + supports, 0),
    paper,
    labelSheets: labelSheetCount(count, labelSheetOf(labels.sheet), labels.skip),
    assumed: false,
  };
}

/** Takeoff of a bundled plan; `paper` as `paperFacts` of the sheets has it; `used`: spares gone since. */
export const takeoffOf = (
  plan: TakeoffInput,
  bundles: Bundles,
  paper: PaperFacts,
  used: StrandFacts["used"] = [],
): Takeoff => makeTakeoff(plan, { ...strandFacts(plan, bundles, paper), used });
