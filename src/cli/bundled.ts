import type { Bundles } from "../bundles/types.ts";
import { asWarning, bundleWarnings, NO_SOLVER } from "../bundles/faults.ts";
import type { Job } from "../job/schema.ts";
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
  let sharing: Sharing | undefined;
  const { plan, catalog } = await loadPlan(path, shell, undefined, (job) => (sharing = loadSharing(job)));
  return { catalog, ...(await bundled(plan, catalog, shell, sharing!)) };
}

type Sharing = ReturnType<typeof loadSharing>;

/** What sharing tiles out needs; takes long to load, so that it begins while holes are still being settled. */
function loadSharing({ bundles }: Job) {
  const solver = bundles.engines.length > 0 ? import("./solver.ts").then((it) => it.loadSolver()) : null;
  return inAdvance(Promise.all([import("../bundles/compensate.ts"), solver]));
}

/** A promise that nobody may come to wait for, as the work before it may fail. */
export function inAdvance<T>(promise: Promise<T>): Promise<T> {
  promise.catch(() => undefined);
  return promise;
}

/**
 * For commands that print engines beside holes: the plan as bundled (its warnings with those of the bundles)
 * and the engine of each hole; the plan as it is where the job names no engine. `whenSound` is called before the
 * long work begins.
 */
export async function loadWithEngines(
  path: string,
  shell: Shell,
  whenSound?: () => void,
): Promise<{ plan: Plan; catalog: Catalog; engineOf: (hole: { id: number }) => string }> {
  let sharing: Sharing | undefined;
  const { plan: bare, catalog } = await loadPlan(path, shell, undefined, (job) => {
    if (job.bundles.engines.length > 0) sharing = loadSharing(job);
    whenSound?.();
  });
  if (!sharing) return { plan: bare, catalog, engineOf: () => "" };
  const { plan, bundles } = await bundled(bare, catalog, shell, sharing);
  const { engineOf } = await import("../bundles/bundles.ts");
  plan.warnings.push(...bundleWarnings(bundles));
  return { plan, catalog, engineOf: engineOf(bundles) };
}

async function bundled(
  plan: Plan,
  catalog: Catalog,
  shell: Shell,
  sharing: Sharing,
): Promise<{ plan: Plan; bundles: Bundles }> {
  shell.progress("Sharing tiles out to engines");
  const [{ bundlePlan }, solver] = await sharing;
  const made = bundlePlan(plan, { solver, figures: catalog.figures });
  if (solver === null && plan.job.bundles.engines.length > 0) made.bundles.warnings.push(NO_SOLVER);
  return made;
}
