import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { JobFaults } from "../../src/job/faults.ts";
import { clockWords } from "../../src/record/clock.ts";
import type { Entry } from "../../src/record/entry.ts";
import { HOLE_STEPS, TILE_STEPS } from "../../src/record/entry.ts";
import { MOST_ENTRIES, MOST_RECORD_BYTES, readRecord, takeOver } from "../../src/record/read.ts";
import { emptyRecord, merged } from "../../src/record/record.ts";
import { holeTick, tileTick } from "../../src/record/say.ts";
import { tileState } from "../../src/record/state.ts";
import { writeRecord } from "../../src/record/write.ts";
import { act, JOB, runCrew, stamp } from "./crew.ts";

const empty = tileState([]);

/** Every hole of some tiles ticked one by one for all three steps, and every step of every tile. */
function everything(tiles: number, holes: number): Entry[] {
  let n = 0;
  return Array.from({ length: tiles }, (_, t) => `C${t + 1}`).flatMap((tile) => [
    ...TILE_STEPS.map((step) => tileTick(stamp("0123456789ab", ++n), tile, step)),
    ...HOLE_STEPS.flatMap((step) =>
      Array.from({ length: holes }, (_, i) =>
        holeTick(stamp("0123456789ab", ++n), tile, step, [i + 1], empty),
      ),
    ),
  ]);
}

/** The one fault that reading gives. */
function refusal(input: string | Uint8Array) {
  try {
    readRecord(input);
  } catch (error) {
    if (error instanceof JobFaults) return error.faults[0]!;
    throw error;
  }
  throw new Error("it was taken");
}

describe("the record file", () => {
  test("gives back what was written, whatever the crew did", () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 60 }), (acts) => {
        const all = runCrew(acts).reduce((a, b) => merged(a, b.entries), emptyRecord(JOB));
        const text = writeRecord(all);
        expect(readRecord(text)).toEqual(all);
        expect(writeRecord(readRecord(new TextEncoder().encode(text)))).toBe(text);
      }),
      { seed: 20261126, numRuns: 100 },
    );
  });

  test("of 59 tiles with 28 holes, each hole ticked by itself three times, is under 300 kB", () => {
    const record = merged(emptyRecord(JOB), everything(59, 28));
    expect(record.entries).toHaveLength(59 * (8 + 3 * 28));
    const text = writeRecord(record);
    expect(text.length).toBeLessThan(300_000);
    expect(readRecord(text)).toEqual(record);
  });
});

describe("refused whole, in words", () => {
  const record = merged(emptyRecord(JOB), everything(2, 30));
  const text = writeRecord(record);

  test("half a file, wherever it was cut", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: text.trimEnd().length - 1 }), (cut) => {
        expect(refusal(text.slice(0, cut)).path).toMatch(/^line \d+, column \d+$/);
      }),
      { seed: 20261126, numRuns: 60 },
    );
  });

  test("a line lost from the middle", () => {
    const lines = text.split("\n");
    const fault = refusal(lines.toSpliced(10, 1).join("\n"));
    expect(fault).toMatchObject({
      path: "count",
      expected: `${record.entries.length} entries, as it says itself`,
    });
    expect(fault.next).toContain("once more");
  });

  test("of a newer version, of something else, or with an entry nobody knows", () => {
    expect(refusal(text.replace('"version":1', '"version":2')).next).toContain("newer Velarium");
    expect(refusal('{"format":"velarium.job","version":1}').path).toBe("format");
    expect(refusal("[]").path).toBe("format");
    const odd = refusal(text.replace('"hung"', '"flung"'));
    expect(odd.path).toMatch(/^runs\[0\]\.entries\[\d+\]$/);
    expect(odd.got).toContain("flung");
    for (const holes of ["0", "7-3", "1-99999", "x", "1,,2", "+no"])
      expect(refusal(text.replace('"punched","C1",1]', `"punched","C1","${holes}"]`).replace('"punched","C1","1"]', `"punched","C1","${holes}"]`)).path).toMatch(/entries/); // prettier-ignore
  });

  test("a million entries, by bytes or by number, before they fill the memory", () => {
    expect(refusal(" ".repeat(MOST_RECORD_BYTES + 1)).next).toContain("Nothing was added");
    const rows = (count: number, row: string) => `{"format":"velarium.record","version":1,"job":{"id":"a","title":""},"count":${count},"runs":[{"run":"aaaa","who":"","device":"","revision":1,"fromMs":0,"entries":[${Array.from({ length: count }, () => row).join(",")}]}]}`; // prettier-ignore
    expect(refusal(rows(MOST_ENTRIES + 1, '[1,0,"hung","A1"]')).path).toMatch(/^runs/);
    expect(refusal(rows(2000, '[1,0,"glued","A1","1-5000"]')).expected).toContain("holes named");
  });

  test("of another job; one's own stays as it is", () => {
    const other = readRecord(text.replace('"a-room"', '"another"').replace('"A room"', '"The other room"'));
    const before = writeRecord(record);
    expect(() => takeOver(record, other)).toThrow(/that of “The other room”/);
    expect(writeRecord(record)).toBe(before);
  });

  test("a clock years off is told; what was done counts all the same", () => {
    const past = holeTick(stamp("aaaa", 1, { atMs: 0, device: "old phone" }), "A1", "punched", [1], empty);
    const words = clockWords([past, ...record.entries], 1_790_000_000_000 + 3600_000);
    expect(words).toContain("old phone (1 entries)");
    expect(takeOver(record, { job: JOB, entries: [past] }).entries).toContain(past);
    expect(clockWords(record.entries, 1_790_000_000_000)).toBe("");
  });
});
