import type { Planned } from "../plan.ts";
import { lengthsByHole } from "./bundles.ts";
import type { BundledPlan } from "./compensate.ts";

/** A plan as pictures show it. */
export interface LitPlan {
  /** Where the job lets thickness make up for length: with the strands exchanged. */
  plan: Planned;
  /** Strand lengths by hole id, in metres; without them every strand has the job's usual length. */
  lengthsM?: ReadonlyMap<number, number>;
}

/** Whether tiles have to be shared out before the strands' lengths are known. */
export function hasEngines({ bundles }: Planned["job"]): boolean {
  return bundles.engines.length > 0;
}

/**
 * What a picture takes from bundles: a long strand loses light. A hole that no engine lights has no length.
 * Where the job names no engine the plan stays as it is.
 */
export function litPlan({ plan, bundles }: BundledPlan): LitPlan {
  return hasEngines(plan.job) ? { plan, lengthsM: lengthsByHole(bundles) } : { plan };
}
