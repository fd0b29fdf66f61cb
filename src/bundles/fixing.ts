import { makeBundles, type BundleInput, type BundleOptions } from "./bundles.ts";
import type { Bundles } from "./types.ts";

/** What it costs that a person chose engines for some tiles. */
export interface FixingCost {
  fixed: Bundles;
  free: Bundles;
  /** Strand that the choice costs (below 0 only within the gaps, or where the free way lights more). */
  strandM: number;
  /** Holes left dark by the choice. */
  dark: number;
  /** Tiles split by the choice. */
  splits: number;
}

/** Plans with the job's fixed tiles, and again without them. `fixed` takes the place of the job's own, if given. */
export function costOfFixing(
  plan: BundleInput,
  options: BundleOptions,
  fixed: Record<string, string> = plan.job.bundles.fixed,
): FixingCost {
  const withFixed = makeBundles(fixing(plan, fixed), options);
  const free = makeBundles(fixing(plan, {}), options);
  return {
    fixed: withFixed,
    free,
    strandM: Math.round((withFixed.allotment.strandM - free.allotment.strandM) * 1000) / 1000,
    dark: withFixed.unlit.length - free.unlit.length,
    splits: withFixed.allotment.splitTiles.length - free.allotment.splitTiles.length,
  };
}

/** The plan with other fixed tiles. */
export function fixing<P extends BundleInput>(plan: P, fixed: Record<string, string>): P {
  return { ...plan, job: { ...plan.job, bundles: { ...plan.job.bundles, fixed } } };
}
