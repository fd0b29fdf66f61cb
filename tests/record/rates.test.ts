import { describe, expect, test } from "vitest";
import type { Entry } from "../../src/record/entry.ts";
import { benchHoles, holesLeft, progressOf, stepsOf, type TileWork } from "../../src/record/progress.ts";
import { asRate, clocksOf, measuredOf } from "../../src/record/rates.ts";
import { holeTick, sayPlace, sayStrand, tileTick } from "../../src/record/say.ts";
import { tileState } from "../../src/record/state.ts";
import { takeoffSchema } from "../../src/job/sections/takeoff.ts";
import { stamp } from "./crew.ts";

const takeoff = takeoffSchema.parse({ people: 1 });
const empty = tileState([]);
const START = 1_790_000_000_000;
let n = 0;
const at = (seconds: number, device = "aaaa") => stamp(device, ++n, { atMs: START + seconds * 1000 });
const poke = (seconds: number, holes: number[], device?: string) =>
  holeTick(at(seconds, device), "A1", "punched", holes, empty);
const pieces = (entry: Entry) => ("holes" in entry ? (entry.holes?.length ?? 0) : 1);
const hours = () => 1 / 90;

describe("real rates", () => {
  test("the first tick starts the clock and counts for nothing; a pause stops it; ten at once count ten", () => {
    const ticks = [
      ...[poke(0, [1]), poke(30, [2]), poke(60, [3])],
      // half an hour of lunch
      poke(1860, [4]),
      poke(1900, [5]),
      // ten in 400 s: 40 s each is no pause
      poke(2300, [6, 7, 8, 9, 10, 11, 12, 13, 14, 15]),
    ];
    const [clock] = [...clocksOf(ticks, START + 3e6, pieces, hours).values()];
    // 2 in 60 s, 1 in 40 s, 10 in 400 s: 13 holes in 500 s are 93.6 an hour
    expect(clock!.measured.get("punched")).toEqual({ pieces: 13, ms: 500_000 });
    expect(asRate("punched", clock!.measured.get("punched")!)).toBe(93.6);
    expect(clock!.stretch).toEqual({ fromMs: START + 1860_000, toMs: START + 2300_000 });
  });

  test("every pair of hands has its own clock; a tick taken back and a clock years off count for nothing", () => {
    const mine = [poke(0, [1]), poke(40, [2])];
    const theirs = [poke(10, [3], "bbbb"), poke(30, [4], "bbbb")];
    const wrong = poke(60, [5]);
    const back = { ...at(61), what: "undone", tile: "A1", of: [wrong.id] } as Entry;
    const odd = [stamp("cccc", 1, { atMs: 0 }), stamp("cccc", 2, { atMs: 9 })].map((s) => holeTick(s, "A1", "punched", [9], empty)); // prettier-ignore
    const all = measuredOf(
      clocksOf([...mine, ...theirs, wrong, back, ...odd], START + 1e6, pieces, hours).values(),
    );
    expect(all.get("punched")).toEqual({ pieces: 2, ms: 60_000 });
  });

  test("a rate is said as the job has it: an hour's pieces, a tail's minutes, a strand's seconds", () => {
    expect(asRate("labelled", { pieces: 4, ms: 3_600_000 })).toBe(15);
    expect(asRate("plugged", { pieces: 60, ms: 900_000 })).toBe(15);
    expect(asRate("hung", { pieces: 5, ms: 1_800_000 })).toBe(10);
  });
});

describe("how far a tile is", () => {
  const planned = [1, 2, 3].map((numberInTile) => ({
    ...{ numberInTile, tileXMm: 100 * numberInTile, tileYMm: 50 },
    ...{ diameterMm: numberInTile === 3 ? 1.5 : 0.75, strands: numberInTile === 3 ? 3 : 1 },
  }));
  const work = (entries: Entry[]): TileWork => {
    const state = tileState(entries);
    return { use: "stars", areaM2: 0.6096 ** 2, holes: benchHoles(planned, state), tails: 1, state };
  };

  test("hours left by the job's rates, worked out by hand", () => {
    // 2/25 down, 1/15 clean + 1/5 wrap, 10 min tape, 3/90 poke, 5/80 thread, 5/150 glue, 12.5 min label,
    // 5 x 15 s plug, 2/10 hang, 5/300 snip
    const byHand =
      0.08 + 1 / 15 + 0.2 + 1 / 6 + 3 / 90 + 5 / 80 + 5 / 150 + 12.5 / 60 + 75 / 3600 + 0.2 + 5 / 300;
    const before = progressOf(work([]), takeoff);
    expect(before.allH).toBeCloseTo(byHand, 12);
    expect(before.leftH).toBeCloseTo(byHand, 12);
    expect(before.next).toBe("taken down");
    const after = progressOf(work([poke(0, [1, 2]), tileTick(at(1), "A1", "taken down")]), takeoff);
    expect(after.leftH).toBeCloseTo(byHand - 0.08 - 2 / 90, 12);
    expect(after.next).toBe("covered");
  });

  test("a hole given up wants nothing, a moved one lies elsewhere, an added one is one more, a spare has its thickness", () => {
    const told: Entry[] = [sayPlace(at(0), "A1", 1, { what: "given up" }, empty)];
    told.push(sayPlace(at(1), "A1", 2, { what: "moved", byUm: [4000, -1000] }, empty));
    told.push({
      ...at(2),
      tile: "A1",
      what: "added",
      atUm: [10_000, 20_000],
      diameterMm: 1,
      strands: 1,
    } as Entry);
    told.push(sayStrand(at(3), "A1", 3, { what: "replaced", diameterMm: 1 }, empty));
    const { holes } = work(told);
    expect(holes.map(({ name, xMm, yMm }) => [name, xMm, yMm])).toEqual([["1", 100, 50], ["2", 204, 49], ["3", 300, 50], ["+1", 10, 20]]); // prettier-ignore
    expect(holesLeft(holes, "punched").map(({ name }) => name)).toEqual(["2", "3", "+1"]);
    expect(holes[2]).toMatchObject({ diameterMm: 1, strands: 3 });
  });

  test("of all holes only the one that something was told of is another than before", () => {
    const first = [poke(0, [1])];
    const before = benchHoles(planned, tileState(first));
    const both = [...first, poke(1, [2])];
    const after = benchHoles(planned, tileState(both), before);
    expect(after.map((hole, i) => hole === before[i])).toEqual([true, false, true]);
    expect(after).toEqual(benchHoles(planned, tileState(both)));
    const moved = [...first, sayPlace(at(2), "A1", 1, { what: "moved", byUm: [1, 0] }, empty)];
    expect(benchHoles(planned, tileState(moved), before)[0]).not.toBe(before[0]);
  });

  test("a tile without strands is only taken down, covered and hung; a plain one is left alone", () => {
    expect(stepsOf({ use: "fabric", holes: [] })).toEqual(["taken down", "covered", "hung"]);
    expect(stepsOf({ use: "plain", holes: [] })).toEqual([]);
  });
});
