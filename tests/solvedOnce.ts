import { createHash } from "node:crypto";
import { existsSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { deserialize, serialize } from "node:v8";
import { inject, vi } from "vitest";
import type { MipAnswer, Solver } from "../src/bundles/solver.ts";

/**
 * The solver of the command line, asked by tests in this process: the same programme is solved once in a run of the tests,
 * by whichever file comes first, and its answer read by all others. Real commands and browsers solve for themselves. What
 * a limit of time cut short is no answer to keep.
 */
vi.mock("../src/cli/solver.ts", async (original) => {
  const { loadSolver } = await original<typeof import("../src/cli/solver.ts")>();
  return {
    loadSolver: async () => {
      const solver = await loadSolver();
      return solver && keptInRun(solver);
    },
  };
});

const keptInRun =
  (solver: Solver): Solver =>
  (model, options) => {
    const hash = createHash("sha256").update(JSON.stringify(options));
    for (const [name, values] of Object.entries(model)) hash.update(name).update(values as Uint8Array);
    const file = join(inject("ofThisRun"), `solved-${hash.digest("hex")}`);
    if (existsSync(file)) return deserialize(readFileSync(file)) as MipAnswer;
    const answer = solver(model, options);
    if (answer.status !== "optimal") return answer;
    writeFileSync(`${file}.${process.pid}`, serialize(answer));
    renameSync(`${file}.${process.pid}`, file);
    return answer;
  };
