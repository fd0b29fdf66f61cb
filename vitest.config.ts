import { fileURLToPath } from "node:url";
import { compileModule } from "svelte/compiler";
import ts from "typescript";
import type { Plugin } from "vite";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

/** State runs in tests as it does on the page, effects and all; Svelte's own plugin would build it for a server. */
const state: Plugin = {
  name: "velarium-state",
  enforce: "pre",
  transform(code, id) {
    if (!id.endsWith(".svelte.ts")) return null;
    const { outputText } = ts.transpileModule(code, {
      compilerOptions: {
        target: ts.ScriptTarget.ESNext,
        module: ts.ModuleKind.ESNext,
        verbatimModuleSyntax: true,
      },
    });
    return compileModule(outputText, { generate: "client", filename: id }).js.code;
  },
};

/** Browsers take longest: they come first, so that no worker is left with one when the other has ended. */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const isLong = ({ moduleId }: TestSpecification): boolean => moduleId.includes("/browser/");
    return [...sorted.filter(isLong), ...sorted.filter((file) => !isLong(file))];
  }
}

/** The studio keeps state in its modules, and `vi` changes what others may find: such files run in a process of their own. */
const ALONE = [
  "tests/app/browser/*.test.ts",
  "tests/app/state/{live,seldom,sharing,studio}.test.ts",
  "tests/app/share/{kills,terminalCode}.test.ts",
  "tests/cli/{disk,output}.test.ts",
  "tests/sky/project.test.ts",
];

const everywhere = {
  setupFiles: ["tests/seeded.ts", "tests/sameBytes.ts", "tests/solvedOnce.ts"],
  testTimeout: 60_000,
  hookTimeout: 120_000,
  // what a page shows in the end is waited for as long as its buttons are
  expect: { poll: { timeout: 30_000 } },
  // A browser on a busy machine may come late: what waited in vain for it is tried once more, and `npm test` tells.
  retry: { count: 1, condition: /Timeout \d+ms exceeded/ },
};

export default defineConfig({
  test: {
    // room for what is thrown away at once: a tenth less work for the collector
    execArgv: ["--max-semi-space-size=64"],
    globalSetup: "tests/ofThisRun.ts",
    maxWorkers: 2,
    sequence: { sequencer: LongestFirst },
    projects: [
      {
        plugins: [state],
        resolve: {
          alias: [
            {
              find: /^svelte$/,
              replacement: fileURLToPath(new URL("node_modules/svelte/src/index-client.js", import.meta.url)),
            },
          ],
        },
        test: { name: "alone", include: ALONE, ...everywhere },
      },
      {
        // Pure functions remember nothing: files that follow each other find the core loaded and quick.
        test: {
          name: "together",
          include: ["tests/**/*.test.ts"],
          exclude: ALONE,
          isolate: false,
          ...everywhere,
        },
      },
    ],
  },
});
