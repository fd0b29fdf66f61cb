import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { TestProject } from "vitest/node";

declare module "vitest" {
  interface ProvidedContext {
    /** A folder of this run of the tests: the studio that the first browser test builds, what the solver answered. */
    ofThisRun: string;
  }
}

export default function setup(project: TestProject): () => void {
  const folder = mkdtempSync(join(tmpdir(), "velarium-run-"));
  project.provide("ofThisRun", folder);
  return () => rmSync(folder, { recursive: true, force: true });
}
