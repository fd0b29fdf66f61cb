import { engineOf } from "../../bundles/bundles.ts";
import { bundlePlan } from "../../bundles/compensate.ts";
import { bundleWarnings, NO_SOLVER } from "../../bundles/faults.ts";
import { highsSolver } from "../../bundles/highs.ts";
import type { Solver } from "../../bundles/solver.ts";
import type { Plan } from "../../plan.ts";
import type { EngineOf } from "../../sheets/context.ts";
import type { Catalog } from "../../sky/types.ts";

/** The plan as its bundles have it, and the engine of each hole; both as the command line prints them. */
export async function planWithEngines(
  bare: Plan,
  catalog: Catalog,
): Promise<{ plan: Plan; engineOf: EngineOf }> {
  const solver = await loadSolver();
  const { plan, bundles } = bundlePlan(bare, { solver, figures: catalog.figures });
  if (solver === null) bundles.warnings.push(NO_SOLVER);
  plan.warnings.push(...bundleWarnings(bundles));
  return { plan, engineOf: engineOf(bundles) };
}

/** HiGHS for the browser; null where it can't be loaded, and hand rules serve. */
async function loadSolver(): Promise<Solver | null> {
  try {
    const [{ default: loadHighs }, { default: wasmUrl }] = await Promise.all([
      import("highs"),
      import("highs/runtime?url"),
    ]);
    return highsSolver(await loadHighs({ locateFile: () => wasmUrl }));
  } catch (error) {
    console.warn(error);
    return null;
  }
}
