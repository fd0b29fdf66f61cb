import type { LitPlan } from "../bundles/litPlan.ts";
import type { Plan } from "../plan.ts";
import type { Catalog } from "../sky/types.ts";
import type { Shell } from "./shell.ts";

/** A plan with the strand lengths of its holes, for pictures (`litPlan`), shared out by the solver where it loads. */
export async function withLengths(plan: Plan, catalog: Catalog, shell: Shell): Promise<LitPlan> {
  if (plan.job.bundles.engines.length === 0) return { plan };
  shell.progress("Sharing tiles out to engines");
  const [{ bundlePlan }, { litPlan }, { loadSolver }] = await Promise.all([
    import("../bundles/compensate.ts"),
    import("../bundles/litPlan.ts"),
    import("./solver.ts"),
  ]);
  return litPlan(bundlePlan(plan, { solver: await loadSolver(), figures: catalog.figures }));
}
