// npm test [-- FOLDER ...]: system tools, types, lint, format, planted errors, then every test; ends with "N passed, N failed".
import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { plantedErrors } from "./testing/plantedErrors.ts";
import { missingTools } from "./testing/systemTools.ts";

const RESULTS = "out/test/vitest.json";

let passed = 0;
let failed = 0;

function check(name: string, run: () => boolean): void {
  const start = Date.now();
  const good = run();
  if (good) passed++;
  else failed++;
  console.log(`${good ? "passed" : "FAILED"}  ${name}  (${((Date.now() - start) / 1000).toFixed(1)} s)`);
}

function succeeds(command: string, args: string[]): boolean {
  return spawnSync("npx", ["--no-install", command, ...args], { stdio: "inherit" }).status === 0;
}

mkdirSync("out/test", { recursive: true });
rmSync(RESULTS, { force: true });

check("system tools that read our output back", () => {
  const missing = missingTools();
  if (missing.length > 0)
    console.error(`Install these Debian packages: apt-get install ${missing.join(" ")}`);
  return missing.length === 0;
});
check("types of TypeScript files", () => succeeds("tsc", ["--noEmit"]));
check("types of Svelte files", () =>
  succeeds("svelte-check", ["--fail-on-warnings", "--tsconfig", "./tsconfig.json", "--output", "human"]),
);
check("lint", () => succeeds("eslint", ["."]));
check("format", () => succeeds("prettier", ["--check", "--log-level", "warn", "."]));
check("nothing is unused", () => succeeds("knip", ["--no-progress"]));
check("planted errors are found by both type checkers", plantedErrors);

const vitest = succeeds("vitest", [
  "run",
  "--reporter=default",
  "--reporter=json",
  `--outputFile.json=${RESULTS}`,
  ...process.argv.slice(2),
]);
const counts = readCounts();
passed += counts.passed;
failed += counts.failed;
// a run that broke off without a failed test is still a failure
if (!vitest && counts.failed === 0) failed++;
if (counts.skipped > 0) console.log(`${counts.skipped} skipped`);
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);

function readCounts(): { passed: number; failed: number; skipped: number } {
  try {
    const result = JSON.parse(readFileSync(RESULTS, "utf8")) as Record<string, number>;
    return {
      passed: result["numPassedTests"] ?? 0,
      failed: result["numFailedTests"] ?? 0,
      skipped: (result["numPendingTests"] ?? 0) + (result["numTodoTests"] ?? 0),
    };
  } catch {
    return { passed: 0, failed: 0, skipped: 0 };
  }
}
