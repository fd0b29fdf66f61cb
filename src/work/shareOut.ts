import { NO_SOLVER } from "../bundles/faults.ts";
import type { SharedOut } from "../bundles/types.ts";
import type { Solver } from "../bundles/solver.ts";
import type { Tools } from "./stage.ts";

/**
 * Shares out in this very thread: by a solver, loaded only where engines stand (where it comes to null it can't be
 * had, which is said), or by hand rules alone.
 */
export function sharerBy(loadSolver: (() => Promise<Solver | null>) | null): Tools["sharer"] {
  return async ({ bundles: { engines } }) => {
    const wanted = engines.length > 0;
    const [{ bundlePlan }, solver] = await Promise.all([
      import("../bundles/compensate.ts"),
      wanted && loadSolver ? loadSolver() : null,
    ]);
    return (planned, { figures }): SharedOut => {
      const { bundles, plan } = bundlePlan(planned, { solver, figures });
      if (wanted && loadSolver && solver === null) bundles.warnings.push(NO_SOLVER);
      return { bundles, holes: plan === planned ? null : plan.pattern.holes };
    };
  };
}
