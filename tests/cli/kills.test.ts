import { spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { existsSync, statSync, writeFileSync } from "node:fs";
import fc from "fast-check";
import { afterAll, beforeAll, expect, test } from "vitest";
import { benchJob } from "../../scripts/bench/pattern.ts";
import { writeJob } from "../../src/job/write.ts";
import { sampleJob } from "../job/sample.ts";
import { scratch, velarium } from "./run.ts";

/** Frozen; a long run by hand takes more: KILLS=100. */
const SEED = 20_261_126;
const KILLS = Number(process.env["KILLS"] ?? 5);

const folder = scratch();
const job = folder.path("room.velarium.json");
beforeAll(() => writeFileSync(job, JSON.stringify(sampleJob())));
afterAll(() => folder.remove());

const out = (name: string): string => folder.path(name);
const isWholeFolder = (path: string): boolean =>
  spawnSync("sha256sum", ["--check", "--strict", "--status", "files.sha256"], { cwd: path }).status === 0;
const endsLike = (mark: string) => (path: string) =>
  spawnSync("tail", ["-c", "8", path], { encoding: "latin1" }).stdout.includes(mark) &&
  statSync(path).size > 0;

const WAYS: [string, (to: string) => string[], isWhole: (path: string) => boolean][] = [
  ["plan", (to) => ["plan", job, "--out", to, "--replace"], isWholeFolder],
  ["pack", (to) => ["pack", job, "--out", to, "--replace"], isWholeFolder],
  ["skysheet", (to) => ["skysheet", job, "--out", to], endsLike("%%EOF")],
];

test.each(WAYS)(
  "%s, killed at any moment: what stands is whole, and the next run clears up",
  async (name, args, isWhole) => {
    const to = out(name);
    const started = performance.now();
    // nothing to do with faults of the job: pack ends with 1 where no engine is named, and writes all the same
    expect((await velarium(args(to))).code).toBeLessThan(2);
    const lastsMs = performance.now() - started;
    let stood = 0;
    for (const share of fc.sample(fc.integer({ min: 5, max: 100 }), { seed: SEED, numRuns: KILLS })) {
      const target = name === "skysheet" ? `${to}-${share}` : to;
      const child = spawn(process.execPath, ["scripts/velarium.js", ...args(target)], { stdio: "ignore" });
      const late = setTimeout(() => child.kill("SIGKILL"), (lastsMs * share) / 100);
      await once(child, "close");
      clearTimeout(late);
      if (!existsSync(target)) {
        if (target !== to) expect((await velarium(args(target))).code).toBe(0);
        continue;
      }
      stood++;
      expect(isWhole(target), `${target} after ${share} %`).toBe(true);
    }
    if (name !== "skysheet") expect((await velarium(args(to))).code).toBeLessThan(2);
    expect(isWhole(to)).toBe(true);
    expect(folder.list().filter((entry) => entry.startsWith("."))).toEqual([]);
    console.log(`${name}: ${KILLS} kills, ${stood} times something stood, always whole`);
  },
);

test("a wish to stop is followed at once, at 3,000 tiles too: while planning, and while writing", async () => {
  const large = folder.path("hall.velarium.json");
  writeFileSync(large, writeJob(benchJob(60, 50, 6000)));
  const to = folder.path("hall");
  /** Sends the signal `afterMs` after `when` first holds; gives how the command ended, and how long after. */
  async function stopped(signal: "SIGINT" | "SIGTERM", when: () => boolean, afterMs: number) {
    const child = spawn(process.execPath, ["scripts/velarium.js", "plan", large, "--out", to]);
    let err = "";
    child.stderr.on("data", (bytes: Buffer) => (err += bytes.toString()));
    const closed = once(child, "close") as Promise<[number | null, string | null]>;
    while (!when() && child.exitCode === null) await new Promise((done) => setTimeout(done, 10));
    await new Promise((done) => setTimeout(done, afterMs));
    const wished = performance.now();
    child.kill(signal);
    const [code, by] = await closed;
    return { code, by, err, ms: performance.now() - wished };
  }
  for (const signal of ["SIGINT", "SIGTERM"] as const) {
    const planning = await stopped(signal, () => true, 1500);
    // ended by the system, whatever was being worked out
    expect(planning).toMatchObject({ code: null, by: signal });
    console.log(`${signal}: stopped ${planning.ms.toFixed(0)} ms after the wish, in planning`);
    expect(folder.list()).not.toContain("hall");
  }
  const partial = (): boolean => folder.list().some((name) => name.includes("velarium-partial"));
  const writing = await stopped("SIGINT", partial, 300);
  expect(writing).toMatchObject({ code: 130, err: "Interrupted; nothing was written.\n" });
  console.log(`SIGINT: stopped ${writing.ms.toFixed(0)} ms after the wish, in writing`);
  expect(partial()).toBe(false);
  expect(folder.list()).not.toContain("hall");
}, 240_000);
