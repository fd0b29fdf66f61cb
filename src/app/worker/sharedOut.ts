import type { BundledPlan } from "../../bundles/compensate.ts";
import type { Planned } from "../../plan.ts";
import type { SharedOut } from "./bundlesApi.ts";

/** A plan with what its sharing-out made of it, as the core has it. */
export function bundledBy(plan: Planned, { bundles, holes }: SharedOut): BundledPlan {
  return { bundles, plan: holes ? { ...plan, pattern: { ...plan.pattern, holes } } : plan };
}
