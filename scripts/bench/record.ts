import { config } from "zod";
import type { Entry } from "../../src/record/entry.ts";
import { readRecord, takeOver } from "../../src/record/read.ts";
import { emptyRecord, merged } from "../../src/record/record.ts";
import { holeTick, tileTick } from "../../src/record/say.ts";
import { byTile, tileState } from "../../src/record/state.ts";
import { writeRecord } from "../../src/record/write.ts";
import { type BenchLine, medianMs } from "./measure.ts";

const JOB = { id: "a-hall", title: "A hall" };
const TILES = 170;
const HOLES = 30;

/** 5,100 holes and 20,400 entries from two devices: opened and merged. Beside it: JSON.parse of the same text. */
export function benchRecord(): Promise<BenchLine[]> {
  // as in the browser, whose page may not compile
  config({ jitless: true });
  const text = writeRecord(merged(emptyRecord(JOB), work("aaaaaaaaaaaa", 0, TILES)));
  const half = merged(emptyRecord(JOB), work("aaaaaaaaaaaa", 0, TILES / 2));
  const other = merged(emptyRecord(JOB), work("bbbbbbbbbbbb", TILES / 2, TILES));
  const states = (entries: readonly Entry[]) => [...byTile(entries).values()].map(tileState);
  const open = medianMs(9, 2, () => states(readRecord(text).entries));
  const merge = medianMs(9, 2, () => states(takeOver(half, other).entries));
  const one = byTile(half.entries).get("T9")!;
  const tick = medianMs(51, 10, () => tileState(one));
  const json = medianMs(9, 2, () => JSON.parse(text) as unknown);
  const reference = `JSON.parse of the same ${(text.length / 1000).toFixed(0)} kB: ${json.toFixed(1)} ms`;
  const entries = readRecord(text).entries.length;
  return Promise.resolve([
    {
      what: `A record of ${TILES * HOLES} holes and ${entries} entries opened, checked, and every tile worked out`,
      measured: `${open.toFixed(0)} ms; a tile anew after a tick ${tick.toFixed(2)} ms`,
      goal: "1 s",
      reference,
    },
    { what: "Two halves of it merged", measured: `${merge.toFixed(0)} ms`, goal: "1 s", reference },
  ]);
}

function work(run: string, from: number, to: number): Entry[] {
  let n = 0;
  const empty = tileState([]);
  const stamp = () => ({
    ...{ id: `${run}-${++n}`, atMs: 1_790_000_000_000 + n * 20_000 },
    ...{ who: "Ada", device: run, revision: 1 },
  });
  const entries: Entry[] = [];
  for (let t = from; t < to; t++) {
    for (const step of ["punched", "threaded", "glued"] as const)
      for (let hole = 1; hole <= HOLES; hole++) entries.push(holeTick(stamp(), `T${t}`, step, [hole], empty));
    for (let k = 0; k < 30; k++) entries.push(tileTick(stamp(), `T${t}`, "tested"));
  }
  return entries;
}
