import { readFileSync, writeFileSync } from "node:fs";
import { afterAll, describe, expect, test } from "vitest";
import type { Job } from "../../src/job/schema.ts";
import { holeTick } from "../../src/record/say.ts";
import { tileState } from "../../src/record/state.ts";
import { writeRecord } from "../../src/record/write.ts";
import { scratch, velarium } from "./run.ts";

const DEMO = "demo/harbour-dining-room.velarium.json";
const folder = scratch();
afterAll(() => folder.remove());

const ISSUED = folder.path("issued.velarium.json");
const read = (file: string): Job => JSON.parse(readFileSync(file, "utf8")) as Job;
/** Rows of holes.csv about one tile. */
const holesOf = (plan: string, tile: string): string[] => readFileSync(`${plan}/holes.csv`, "utf8").split("\n").filter((line) => line.split(",")[1] === tile); // prettier-ignore

describe("velarium issue", { timeout: 120_000 }, () => {
  test("writes the issued job; a changed job keeps the issued holes and says what it keeps", async () => {
    const issue = await velarium(["issue", DEMO, "--out", ISSUED, "--tiles", "C4,C5", "--on", "2029-06-01"]);
    expect(issue.err + issue.out).toContain("Issued, revision 1, 2029-06-01: C4, C5.");
    const job = read(ISSUED);
    writeFileSync(folder.path("changed.velarium.json"), JSON.stringify({ ...job, pattern: { ...job.pattern, seed: 8, spacingMm: 11 } })); // prettier-ignore
    const [first, second] = [folder.path("first"), folder.path("second")];
    await velarium(["plan", ISSUED, "--out", first]);
    const plan = await velarium(["plan", folder.path("changed.velarium.json"), "--out", second]);
    expect(plan.code).toBe(0);
    expect(plan.err).toMatch(/issued tiles? stays? as/);
    for (const tile of ["C4", "C5"]) {
      expect(holesOf(first, tile).length).toBeGreaterThan(5);
      expect(holesOf(second, tile)).toEqual(holesOf(first, tile));
      expect(readFileSync(`${second}/sheets/svg/${tile}-back.svg`, "utf8")).toBe(readFileSync(`${first}/sheets/svg/${tile}-back.svg`, "utf8")); // prettier-ignore
    }
    expect(holesOf(second, "C3")).not.toEqual(holesOf(first, "C3"));
  });

  test("tells what taking back a begun tile costs before it does anything", async () => {
    const job = read(ISSUED);
    const stamp = { id: "abcd-1", atMs: 0, who: "Kim", device: "tablet", revision: 1 };
    const entry = holeTick(stamp, "C4", "punched", [1, 2, 3], tileState([]));
    const record = folder.path("bench.record.json");
    writeFileSync(record, writeRecord({ job: { id: job.id!, title: job.title }, entries: [entry] }));
    // changed since, and told with its cost: issued C4 stays; C3, begun without an issue, follows the job
    const loose = { ...entry, id: "abcd-2", tile: "C3" };
    const both = folder.path("both.record.json");
    writeFileSync(both, writeRecord({ job: { id: job.id!, title: job.title }, entries: [entry, loose] }));
    const check = await velarium(["check", folder.path("changed.velarium.json"), "--record", both]);
    expect(check.code).toBe(0);
    expect(check.out).toMatch(
      /started, to change it costs C4: 3 holes punched for nothing.*about \d\.\d h of work/,
    );
    expect(check.err).toMatch(
      /C4 is started and stays as issued.*that would cost 3 holes punched for nothing/,
    );
    expect(check.err).toMatch(/C3 is started and not issued.*A change costs 3 holes punched for nothing/);
    const out = folder.path("again.velarium.json");
    const take = (...more: string[]) =>
      velarium(["issue", ISSUED, "--take-back", "--tiles", "C4,C5", "--out", out, ...more]);
    const refused = await take("--record", record);
    expect(refused.code).toBe(1);
    expect(refused.err).toContain("C4: 3 holes punched for nothing");
    expect(folder.list()).not.toContain("again.velarium.json");
    const done = await take("--record", record, "--started-too");
    expect(done.out + done.err).toContain("Lost by this: C4: 3 holes punched for nothing");
    expect(read(out).issued).toBeNull();
  });

  test.each([
    [["--tiles", "Z9"], 1, "no tile Z9"],
    [["--tiles", "D5"], 1, "on HOLD"],
    [["--on", "1 June"], 2, "a day such as 2031-02-14"],
    [["--take-back"], 1, "Name the tiles"],
  ])("refuses %j in words", async (more, code, words) => {
    const ran = await velarium(["issue", DEMO, "--out", folder.path("none.velarium.json"), ...more]);
    expect(ran.code).toBe(code);
    expect(ran.err).toContain(words);
    expect(folder.list()).not.toContain("none.velarium.json");
  });
});
