import { setFlagsFromString } from "node:v8";
import loadHighs from "highs";
import { highsSolver } from "../bundles/highs.ts";
import type { Solver } from "../bundles/solver.ts";

/**
 * A function of the solver is worth optimising only once it has run for long: by Node's own setting (1.8 million)
 * the optimiser takes more time from a solve of half a second than it gives back; a solve of five loses nothing.
 * One task at a time optimises: on two cores several would take their turns with the solver itself.
 */
const TIERING_BUDGET = 30_000_000;

/** HiGHS for Node; null where it can't be loaded, and hand rules serve. */
export async function loadSolver(): Promise<Solver | null> {
  try {
    setFlagsFromString(`--wasm-tiering-budget=${TIERING_BUDGET}`);
    setFlagsFromString("--wasm-num-compilation-tasks=1");
    return highsSolver(await loadHighs());
  } catch {
    return null;
  }
}
