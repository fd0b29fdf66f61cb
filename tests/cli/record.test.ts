import { readFileSync, writeFileSync } from "node:fs";
import { afterAll, beforeAll, expect, test } from "vitest";
import { holeTick, sayPlace, tileTick } from "../../src/record/say.ts";
import { tileState } from "../../src/record/state.ts";
import { readRecord } from "../../src/record/read.ts";
import { writeRecord } from "../../src/record/write.ts";
import { sampleJob } from "../job/sample.ts";
import { stamp } from "../record/crew.ts";
import { scratch, velarium } from "./run.ts";

const folder = scratch();
const file = folder.path;
const empty = tileState([]);
const id = "room-7";
const JOB = { id, title: "Small room" };

/** Two devices that know nothing of each other. */
const tablet = [
  tileTick(stamp("aaaa", 1, { device: "tablet" }), "B3", "taken down"),
  holeTick(stamp("aaaa", 2, { device: "tablet" }), "B3", "punched", [1, 2, 3], empty),
  sayPlace(stamp("aaaa", 3, { device: "tablet" }), "B3", 9, { what: "spoilt" }, empty),
];
const phone = [
  holeTick(stamp("bbbb", 1, { who: "Ben", device: "phone" }), "B3", "punched", [3, 4], empty),
  sayPlace(
    stamp("bbbb", 2, { who: "Ben", device: "phone" }),
    "B3",
    9,
    { what: "moved", byUm: [4000, 0] },
    empty,
  ),
  holeTick(stamp("bbbb", 3, { who: "Ben", device: "phone", atMs: 0 }), "A10", "punched", [1], empty),
];
beforeAll(() => {
  writeFileSync(file("room.velarium.json"), JSON.stringify({ ...sampleJob(), id }));
  writeFileSync(file("tablet.record.json"), writeRecord({ job: JOB, entries: tablet }));
  writeFileSync(file("phone.record.json"), writeRecord({ job: JOB, entries: phone }));
});
afterAll(() => folder.remove());

const record = (...args: string[]) => velarium(["record", file("room.velarium.json"), ...args]);

test("records of two devices become one, whichever comes first, told tile by tile", async () => {
  const both = [file("tablet.record.json"), file("phone.record.json")];
  const one = await record(...both, "--out", file("one.record.json"));
  expect(one.code).toBe(0);
  expect(one.out).toContain("phone.record.json: 3 entries, 3 of them new");
  expect(one.out).toContain("Together: 6 entries on 2 tiles, by Ada, Ben, on phone, tablet");
  expect(one.out).toMatch(/A10\s+1 punched, 0 threaded, 0 glued\n/);
  expect(one.out).toMatch(/B3\s+4 punched, 0 threaded, 0 glued; taken down\n/);
  expect(one.out).toContain("two say different things of hole 9: decide at the bench");
  expect(one.err).toContain("The clock was wrong on phone (1 entries)");
  const other = await record(...both.toReversed(), both[0]!, "--out", file("other.record.json"), "--json");
  expect(JSON.parse(other.out)).toMatchObject({ entries: 6, open: [{ tile: "B3", hole: 9 }] });
  const text = readFileSync(file("one.record.json"), "utf8");
  expect(readFileSync(file("other.record.json"), "utf8")).toBe(text);
  expect(readRecord(text).entries).toHaveLength(6);
});

test("a record of another job, half a file and a file that is there already: words, and nothing is written", async () => {
  writeFileSync(
    file("else.record.json"),
    writeRecord({ job: { id: "other", title: "Hall" }, entries: tablet }),
  );
  const text = readFileSync(file("phone.record.json"), "utf8");
  writeFileSync(file("half.record.json"), text.slice(0, text.length / 2));
  const before = folder.list();
  const other = await record(file("else.record.json"), "--out", file("out.record.json"));
  expect([other.code, other.err]).toEqual([2, expect.stringContaining("that of “Hall”")]);
  const half = await record(
    file("phone.record.json"),
    file("half.record.json"),
    "--out",
    file("out.record.json"),
  );
  expect(half.code).toBe(2);
  expect(half.err).toContain("half of it is missing. Have it sent once more");
  const missing = await record(file("none.record.json"));
  expect([missing.code, missing.err]).toEqual([
    2,
    expect.stringContaining("expected a record that can be read"),
  ]);
  const taken = await record(file("phone.record.json"), "--out", file("tablet.record.json"));
  expect([taken.code, taken.err]).toEqual([1, expect.stringContaining("is already there")]);
  expect(folder.list()).toEqual(before);
});
