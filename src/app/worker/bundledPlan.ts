import { bundlePlan, type BundledPlan } from "../../bundles/compensate.ts";
import { NO_SOLVER } from "../../bundles/faults.ts";
import type { Plan } from "../../plan.ts";
import type { Catalog } from "../../sky/types.ts";
import { browserSolver } from "./solverLoad.ts";

/** A plan shared out by the solver, as the command line does it: the same bytes from both. */
export async function solvedPlan(plan: Plan, { figures }: Pick<Catalog, "figures">): Promise<BundledPlan> {
  const wanted = plan.job.bundles.engines.length > 0;
  const solver = wanted ? await browserSolver() : null;
  const made = bundlePlan(plan, { solver, figures });
  if (wanted && solver === null) made.bundles.warnings.push(NO_SOLVER);
  return made;
}
