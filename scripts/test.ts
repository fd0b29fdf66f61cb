// npm test [-- FOLDER ...]: system tools, types, lint, format, planted errors, then every test; ends with "N passed, N failed".
import { spawn } from "node:child_process";
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { plantedErrors } from "./testing/plantedErrors.ts";
import { missingTools } from "./testing/systemTools.ts";

const RESULTS = "out/test/vitest.json";

let passed = 0;
let failed = 0;

async function check(name: string, run: () => boolean | Promise<boolean>): Promise<void> {
  const start = Date.now();
  const good = await run();
  if (good) passed++;
  else failed++;
  console.log(`${good ? "passed" : "FAILED"}  ${name}  (${((Date.now() - start) / 1000).toFixed(1)} s)`);
}

function succeeds(command: string, args: string[]): Promise<boolean> {
  return new Promise((done) =>
    spawn(command, args, { stdio: "inherit" })
      .on("error", () => done(false))
      .on("close", (code) => done(code === 0)),
  );
}

mkdirSync("out/test", { recursive: true });
rmSync(RESULTS, { force: true });

await check("system tools that read our output back", () => {
  const missing = missingTools();
  if (missing.length > 0)
    console.error(`Install these Debian packages: apt-get install ${missing.join(" ")}`);
  return missing.length === 0;
});
// Two at a time, as the tests after them; planted errors come after the check that would read them.
await Promise.all([
  (async () => {
    // with a tsconfig it reads TypeScript files too, as the planted errors prove
    await check("types", () => succeeds("npm", ["run", "--silent", "check", "--", "--output", "human"]));
    await check("planted errors of types are found", plantedErrors);
    await check("format", () => succeeds("prettier", ["--check", "--log-level", "warn", "."]));
  })(),
  (async () => {
    await check("lint", () => succeeds("eslint", ["."]));
    await check("no promise is left alone", () => succeeds("npm", ["run", "--silent", "promises"]));
    await check("nothing is unused", () => succeeds("knip", ["--no-progress"]));
  })(),
]);

const vitest = await succeeds("vitest", [
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
for (const name of counts.secondTry) console.log(`passed only when tried again: ${name}`);
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);

interface Results {
  numPassedTests: number;
  numFailedTests: number;
  numPendingTests: number;
  numTodoTests: number;
  testResults: { assertionResults: { fullName: string; status: string; failureMessages: string[] }[] }[];
}

function readCounts(): { passed: number; failed: number; skipped: number; secondTry: string[] } {
  try {
    const result = JSON.parse(readFileSync(RESULTS, "utf8")) as Results;
    return {
      passed: result.numPassedTests,
      failed: result.numFailedTests,
      skipped: result.numPendingTests + result.numTodoTests,
      // a test that passes at its second try keeps what its first failed with
      secondTry: result.testResults
        .flatMap(({ assertionResults }) => assertionResults)
        .filter(({ status, failureMessages }) => status === "passed" && failureMessages.length > 0)
        .map(({ fullName }) => fullName),
    };
  } catch {
    return { passed: 0, failed: 0, skipped: 0, secondTry: [] };
  }
}
