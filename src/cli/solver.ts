import loadHighs from "highs";
import { highsSolver } from "../bundles/highs.ts";
import type { Solver } from "../bundles/solver.ts";

/** HiGHS for Node; null where it can't be loaded, and hand rules serve. */
export async function loadSolver(): Promise<Solver | null> {
  try {
    return highsSolver(await loadHighs());
  } catch {
    return null;
  }
}
