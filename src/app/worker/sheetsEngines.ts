import { engineOf } from "../../bundles/bundles.ts";
import { bundleWarnings } from "../../bundles/faults.ts";
import type { Plan } from "../../plan.ts";
import type { EngineOf } from "../../sheets/context.ts";
import type { Catalog } from "../../sky/types.ts";
import { solvedPlan } from "./bundledPlan.ts";

/** The plan as its bundles have it, and the engine of each hole; both as the command line prints them. */
export async function planWithEngines(
  bare: Plan,
  catalog: Catalog,
): Promise<{ plan: Plan; engineOf: EngineOf }> {
  const { plan, bundles } = await solvedPlan(bare, catalog);
  plan.warnings.push(...bundleWarnings(bundles));
  return { plan, engineOf: engineOf(bundles) };
}
