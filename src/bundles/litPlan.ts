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
 * What a client sees: a long strand loses light, and a hole that no engine lights does not shine. Where the job names
 * no engine yet, all do.
 */
export function litPlan({ plan, bundles }: BundledPlan): LitPlan {
  if (!hasEngines(plan.job)) return { plan };
  const lengthsM = lengthsByHole(bundles);
  if (bundles.unlit.length === 0) return { plan, lengthsM };
  const holes = plan.pattern.holes.filter(({ id }) => lengthsM.has(id));
  const filler = holes.filter(({ kind }) => kind === "filler").length;
  const fidelity = { ...plan.pattern.fidelity, stars: holes.length - filler, filler };
  return { plan: { ...plan, pattern: { ...plan.pattern, holes, fidelity } }, lengthsM };
}
