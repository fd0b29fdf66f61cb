import type { Plan } from "../plan.ts";
import type { Catalog } from "../sky/types.ts";
import type { Shell } from "./shell.ts";

/**
 * A plan with the strand lengths of its holes in metres, by hole id, for pictures: a long strand loses light.
 * Where the job names no engine the lengths are unknown and the plan stays as it is; where it lets lengths be
 * compensated by thickness the plan is the compensated one.
 */
export async function withLengths(
  plan: Plan,
  catalog: Catalog,
  shell: Shell,
): Promise<{ plan: Plan; lengthsM?: ReadonlyMap<number, number> }> {
  if (plan.job.bundles.engines.length === 0) return { plan };
  shell.progress("Sharing tiles out to engines");
  const [{ bundlePlan }, { loadSolver }] = await Promise.all([
    import("../bundles/compensate.ts"),
    import("./solver.ts"),
  ]);
  const made = bundlePlan(plan, { solver: await loadSolver(), figures: catalog.figures });
  return { plan: made.plan, lengthsM: new Map(made.bundles.strands.map((s) => [s.hole, s.lengthM])) };
}
