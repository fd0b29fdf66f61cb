import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { TestProject } from "vitest/node";

declare module "vitest" {
  interface ProvidedContext {
    /** A folder of this run of the tests, in which the first browser test builds the studio for all. */
    studioBuilt: string;
  }
}

export default function setup(project: TestProject): () => void {
  const folder = mkdtempSync(join(tmpdir(), "velarium-built-"));
  project.provide("studioBuilt", folder);
  return () => rmSync(folder, { recursive: true, force: true });
}
