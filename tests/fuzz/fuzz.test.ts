import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import fc from "fast-check";
import { beforeAll, describe, expect, onTestFinished, test } from "vitest";
import { needsDeepCatalog } from "../../src/catalogDepth.ts";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { CannotDo, JobFaults } from "../../src/job/faults.ts";
import type { JobInput } from "../../src/job/schema.ts";
import { Board } from "../../src/pattern/board.ts";
import { planJob } from "../../src/work/planJob.ts";
import type { Catalog } from "../../src/sky/types.ts";
import { expectBookkeeping, expectHardRules } from "../plan/hardRules.ts";
import { mutated, mutation } from "./mutate.ts";
import { wildJob } from "./wildJob.ts";

/** Frozen: every run looks at the same jobs. A long run by hand takes others: FUZZ_SEED=7 FUZZ_JOBS=2000. */
const SEED = Number(process.env["FUZZ_SEED"] ?? 20_261_126);
const JOBS = Number(process.env["FUZZ_JOBS"] ?? 300);
const WORST = "tests/fuzz/worst";

let compact: Catalog;
let deep: Catalog;
beforeAll(async () => {
  [compact, deep] = await Promise.all([loadCatalog(), loadCatalog({ deep: true })]);
});

/** Plans the text of a job and measures what came out with arithmetic that is not the program's; null where it is refused in words. */
function look(text: string): { holes: number; zones: number } | null {
  try {
    const { job, night } = checkJob(text);
    const made = planJob(job, needsDeepCatalog(job, night) ? deep : compact);
    expectHardRules(made);
    expectBookkeeping(made);
    return { holes: made.pattern.holes.length, zones: job.ceiling.noGo.length };
  } catch (error) {
    if (!(error instanceof JobFaults || error instanceof CannotDo)) throw error;
    expect(error.message).not.toMatch(/undefined|NaN|\[object/);
    return null;
  }
}

/** A job that fails stays as a file, to be kept among the worst. */
function keptOnFailure<T>(name: string, text: string, run: (text: string) => T): T {
  try {
    return run(text);
  } catch (error) {
    mkdirSync("out/fuzz", { recursive: true });
    writeFileSync(`out/fuzz/${name}.velarium.json`, text);
    throw new Error(`out/fuzz/${name}.velarium.json`, { cause: error });
  }
}

describe(`jobs that nobody would draw (seed ${SEED})`, () => {
  test(`${JOBS} of them: planned by the hard rules, or refused in words`, { timeout: JOBS * 2000 }, () => {
    const count = { planned: 0, refused: 0, holes: 0, distances: 0, slowestMs: 0 };
    fc.sample(wildJob, { seed: SEED, numRuns: JOBS }).forEach((job, i) => {
      const start = performance.now();
      const found = keptOnFailure(`wild-${SEED}-${i}`, JSON.stringify(job), look);
      count.slowestMs = Math.max(count.slowestMs, performance.now() - start);
      if (found === null) return count.refused++;
      count.planned++;
      count.holes += found.holes;
      count.distances += found.holes * found.zones;
    });
    console.log(
      `${count.planned} planned, ${count.refused} refused, ${count.holes} holes, ` +
        `${count.distances} distances to zones, 0 broken; slowest ${(count.slowestMs / 1000).toFixed(1)} s`,
    );
    expect(count.planned).toBeGreaterThan(JOBS / 2);
  });

  test(`${4 * JOBS} mutations of job files: never a crash`, { timeout: JOBS * 2000 }, () => {
    const files = [
      "demo/harbour-dining-room.velarium.json",
      ...readdirSync("tests/job/kept").map((name) => `tests/job/kept/${name}`),
    ].map((path) => JSON.parse(readFileSync(path, "utf8")) as unknown);
    const count = { sound: 0, refused: 0 };
    const mutations = fc.array(mutation, { minLength: 1, maxLength: 3 });
    fc.sample(mutations, { seed: SEED, numRuns: 4 * JOBS }).forEach((list, i) => {
      const text = JSON.stringify(list.reduce(mutated, files[i % files.length]));
      keptOnFailure(`mutated-${SEED}-${i}`, text, () => {
        try {
          checkJob(text);
          count.sound++;
        } catch (error) {
          if (!(error instanceof JobFaults)) throw error;
          count.refused++;
        }
      });
    });
    console.log(`${count.sound} still sound, ${count.refused} refused, 0 crashes`);
    expect(Math.min(count.sound, count.refused)).toBeGreaterThan(JOBS / 4);
  });
});

describe("the worst that were ever found", () => {
  test.each(readdirSync(WORST))("%s", (name) => {
    expect(look(readFileSync(`${WORST}/${name}`, "utf8"))).not.toBeNull();
  });
});

test("however a sky crowds, the work for it is counted and ends, and a wish to stop is heard all along", () => {
  const job = JSON.parse(readFileSync(`${WORST}/crowded-small-circle.velarium.json`, "utf8")) as JobInput;
  job.strands.stock = [{ diameterMm: 0.75, count: 5000 }];
  const boards = new Set<Board>();
  const { add } = Board.prototype;
  Board.prototype.add = function (...hole) {
    boards.add(this);
    return add.apply(this, hole);
  };
  onTestFinished(() => void (Board.prototype.add = add));
  let looks = 0;
  let most = 0;
  planJob(checkJob(JSON.stringify(job)).job, compact, () => {
    const before = looks;
    looks = [...boards].reduce((sum, board) => sum + board.looks, 0);
    most = Math.max(most, looks - before);
    if (looks > 35_000_000) throw new Error("it does not end");
  });
  console.log(`${looks} neighbours looked at, at most ${most} of them between two moments to stop`);
  expect(looks).toBeGreaterThan(1_000_000);
  expect(most).toBeLessThan(1_000_000);
});
