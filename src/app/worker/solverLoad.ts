import wasmUrl from "highs/runtime?url";
import { highsSolver } from "../../bundles/highs.ts";
import type { Solver } from "../../bundles/solver.ts";

let solver: Promise<Solver | null> | null = null;

/** HiGHS, its WebAssembly fetched from our own origin when first asked for; null where it can't be loaded. */
export function browserSolver(): Promise<Solver | null> {
  solver ??= load().catch((error: unknown) => {
    console.warn(error);
    solver = null;
    return null;
  });
  return solver;
}

async function load(): Promise<Solver> {
  const { default: loadHighs } = await import("highs");
  return highsSolver(await loadHighs({ locateFile: () => wasmUrl }));
}
