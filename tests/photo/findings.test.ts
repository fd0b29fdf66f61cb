import { expect, test } from "vitest";
import { findingsFor, findingWords } from "../../src/photo/findings.ts";
import type { DarkTest, HoleVerdict, Verdict } from "../../src/photo/types.ts";
import type { Entry } from "../../src/record/entry.ts";
import { readRecord } from "../../src/record/read.ts";
import { emptyRecord, merged } from "../../src/record/record.ts";
import { byTile, tileState } from "../../src/record/state.ts";
import { writeRecord } from "../../src/record/write.ts";

const DARK_TAIL = "Tail A-B2 is dark, all 9 strands seen of it.";
let hole = 0;
const found = (
  tile: string,
  numberInTile: number,
  verdict: Verdict,
  more: Partial<HoleVerdict> = {},
): HoleVerdict => ({
  ...{ hole: ++hole, tile, numberInTile, verdict, dxMm: null, dyMm: null },
  ...{ light: null, saturated: false, why: "", picture: 0 },
  ...more,
});
const HOLES = [
  found("A1", 1, "dead", { why: "0 % of the light of others" }),
  found("A1", 2, "dim"),
  found("A1", 3, "displaced", { dxMm: 9.25, dyMm: -4, why: "its light is 10 mm off its place" }),
  found("A1", 4, "lit"),
  found("A1", 5, "unlit"),
  found("A1", 6, "unsure"),
  found("B2", 1, "dead", { why: DARK_TAIL }),
  found("C3", 1, "displaced", { dxMm: 30, dyMm: 0 }),
  found("C4", 7, "dead", { why: "In the place of C3 hangs C4. It is dark there." }),
];
const TEST = {
  holes: HOLES,
  tiles: [{ tile: "C3", showsTile: "C4", words: "In the place of C3 hangs C4." }],
  dark: [{ words: DARK_TAIL }],
} as unknown as DarkTest;

function stamps(run: string) {
  let n = 0;
  return () => ({ id: `${run}-${++n}`, atMs: 1_900_000_000_000, who: "Ada", device: "x.jpg", revision: 2 });
}
const told = (entries: readonly Entry[]) =>
  entries.map((entry) => ["tile" in entry && entry.tile, "hole" in entry && entry.hole, entry.what]);

test("strands that are wrong by themselves go to the record; whole tails and tiles, and what can't be told, don't", () => {
  const entries = findingsFor(TEST, [], stamps("aaaa"));
  expect(told(entries)).toEqual([
    ["A1", 1, "dead"],
    ["A1", 2, "weak"],
    ["A1", 3, "moved"],
  ]);
  expect(entries[2]).toMatchObject({ byUm: [9250, -4000] });
  expect(findingWords(entries)).toBe("1 dead, 1 weak, 1 moved");
  const record = merged(emptyRecord({ id: "job", title: "Room" }), entries);
  expect(readRecord(writeRecord(record))).toEqual(record);
});

test("judged as built, a light that is off counts from where the hole was planned; an added hole keeps its own name", () => {
  const built = findingsFor(TEST, [], stamps("aaaa"));
  const again = { ...TEST, holes: [...HOLES.map((h) => (h.numberInTile === 3 && h.tile === "A1" ? { ...h, dxMm: 3, dyMm: 5 } : h)), found("A1", 7, "dead")] }; // prettier-ignore
  const judged = { record: built, added: [{ tile: "A1", number: 7, entry: "bbbb-4" }] };
  const second = findingsFor(again, built, stamps("cccc"), judged);
  expect(told(second)).toEqual([["A1", 3, "moved"], ["A1", "bbbb-4", "dead"]]); // prettier-ignore
  expect(second[0]).toMatchObject({ byUm: [12_250, 1000] });
  // once taken over, there is nothing more to say
  expect(findingsFor(again, [...built, ...second], stamps("dddd"), judged)).toEqual([]);
});

test("what the record says already is not said twice; a strand mended since is said to be lit again", () => {
  const first = findingsFor(TEST, [], stamps("aaaa"));
  expect(findingsFor(TEST, first, stamps("bbbb"))).toEqual([]);
  const mended = { ...TEST, holes: HOLES.map((h) => (h.verdict === "dead" && h.tile === "A1" ? { ...h, verdict: "lit" as const } : h)) }; // prettier-ignore
  const second = findingsFor(mended, first, stamps("cccc"));
  expect(told(second)).toEqual([["A1", 1, "lit"]]);
  const state = tileState(byTile([...first, ...second]).get("A1")!);
  expect(state.holes.get(1)).toMatchObject({ open: false, strand: [{ what: "lit" }] });
  expect(findingWords(second)).toBe("1 lit again");
});
