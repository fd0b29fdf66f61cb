import type { Bundles } from "../bundles/types.ts";
import { asWarning, bundleWarnings, NO_SOLVER } from "../bundles/faults.ts";
import type { Plan } from "../plan.ts";
import type { Catalog } from "../sky/types.ts";
import { loadPlan } from "./loadJob.ts";
import type { Shell } from "./shell.ts";

export { asWarning };

export interface Loaded {
  plan: Plan;
  catalog: Catalog;
  bundles: Bundles;
}

/** From a job file to its holes and bundles, by the solver where it loads. Throws JobFaults, CannotDo. */
export async function loadBundled(path: string, shell: Shell): Promise<Loaded> {
  const { plan, catalog } = await loadPlan(path, shell);
  return { catalog, ...(await bundled(plan, catalog, shell)) };
}

/**
 * For commands that print engines beside holes: the plan as bundled (its warnings with those of the bundles)
 * and the engine of each hole; the plan as it is where the job names no engine.
 */
export async function loadWithEngines(
  path: string,
  shell: Shell,
): Promise<{ plan: Plan; catalog: Catalog; engineOf: (hole: { id: number }) => string }> {
  const { plan: bare, catalog } = await loadPlan(path, shell);
  if (bare.job.bundles.engines.length === 0) return { plan: bare, catalog, engineOf: () => "" };
  const { plan, bundles } = await bundled(bare, catalog, shell);
  const { engineOf } = await import("../bundles/bundles.ts");
  plan.warnings.push(...bundleWarnings(bundles));
  return { plan, catalog, engineOf: engineOf(bundles) };
}

async function bundled(
  plan: Plan,
  catalog: Catalog,
  shell: Shell,
): Promise<{ plan: Plan; bundles: Bundles }> {
  shell.progress("Sharing tiles out to engines");
  const [{ bundlePlan }, { loadSolver }] = await Promise.all([
    import("../bundles/compensate.ts"),
    import("./solver.ts"),
  ]);
  const solver = plan.job.bundles.engines.length > 0 ? await loadSolver() : null;
  const made = bundlePlan(plan, { solver, figures: catalog.figures });
  if (solver === null && plan.job.bundles.engines.length > 0) made.bundles.warnings.push(NO_SOLVER);
  return made;
}
