import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Entry } from "../../src/record/entry.ts";
import { emptyRecord, heardOf, merged, notHeard, type WorkRecord } from "../../src/record/record.ts";
import { holeTick, sayPlace, sayStrand, tileTick, undo, untick } from "../../src/record/say.ts";
import { byTile, tileState, type TileState } from "../../src/record/state.ts";
import { writeRecord } from "../../src/record/write.ts";
import { act, JOB, runCrew, stamp } from "./crew.ts";

/** A seed that once failed goes here and stays. */
const SEEDS = [20261126, 7];

const stateOf = (entries: readonly Entry[]): Map<string, TileState> =>
  new Map(["A1", "B2"].map((tile) => [tile, tileState(byTile(entries).get(tile) ?? [])]));
/** Without the order in which the same things are listed. */
const plain = (entries: readonly Entry[]): string =>
  JSON.stringify([...stateOf(merged(emptyRecord(JOB), entries).entries)], (_, value: unknown) =>
    value instanceof Map ? [...value].sort((a, b) => (String(a[0]) < String(b[0]) ? -1 : 1)) : value,
  );

describe("five devices that hear of each other late, in part, twice and in any order", () => {
  test.each(SEEDS)("come to the same state (seed %d)", (seed) => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 60 }), fc.infiniteStream(fc.nat(999)), (acts, chance) => {
        const crew = runCrew(acts);
        const next = () => chance.next().value as number;
        const all = crew.reduce((a, b) => merged(a, b.entries), emptyRecord(JOB));
        const ends = crew.map((own) => {
          // everything arrives in the end, shuffled, some of it twice, in two parcels
          const parcel = all.entries.flatMap((e) => (next() % 3 === 0 ? [e, e] : [e]));
          const shuffled = parcel
            .map((e) => [next(), e] as const)
            .sort((a, b) => a[0] - b[0])
            .map(([, e]) => e);
          const cut = next() % (shuffled.length + 1);
          return merged(merged(own, shuffled.slice(cut)), shuffled.slice(0, cut));
        });
        for (const end of ends) {
          expect(writeRecord(end)).toBe(writeRecord(all));
          expect(plain(end.entries)).toBe(plain(all.entries));
        }
        // and the state does not hang on the order of the list either
        const mixed = all.entries
          .map((e) => [next(), e] as const)
          .sort((a, b) => a[0] - b[0])
          .map(([, e]) => e);
        const [a, b] = [stateOf(mixed), stateOf(all.entries)];
        for (const tile of ["A1", "B2"]) {
          const open = (s: TileState) =>
            [...s.holes]
              .filter(([, h]) => h.open)
              .map(([n]) => n)
              .sort();
          const done = (s: TileState) => [...s.holes].filter(([, h]) => h.ticks.punched.length > 0).map(([n]) => n).sort(); // prettier-ignore
          expect(open(a.get(tile)!)).toEqual(open(b.get(tile)!));
          expect(done(a.get(tile)!)).toEqual(done(b.get(tile)!));
        }
      }),
      { seed, numRuns: 150 },
    );
  });

  test("merging is commutative, associative and idempotent, to the byte", () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 40 }), (acts) => {
        const [a, b, c] = runCrew(acts) as [WorkRecord, WorkRecord, WorkRecord];
        const join = (x: WorkRecord, y: WorkRecord) => merged(x, y.entries);
        expect(writeRecord(join(a, b))).toBe(writeRecord(join(b, a)));
        expect(writeRecord(join(join(a, b), c))).toBe(writeRecord(join(a, join(b, c))));
        expect(join(a, a)).toBe(a);
        expect(join(join(a, b), b).entries).toEqual(join(a, b).entries);
      }),
      { seed: SEEDS[0]!, numRuns: 100 },
    );
  });

  test("what one has not heard of is told by what it has heard", () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 40 }), (acts) => {
        const [a, b] = runCrew(acts) as [WorkRecord, WorkRecord];
        const told = notHeard(a.entries, JSON.parse(JSON.stringify(heardOf(b.entries))) as never);
        expect(writeRecord(merged(b, told))).toBe(writeRecord(merged(b, a.entries)));
      }),
      { seed: SEEDS[0]!, numRuns: 100 },
    );
  });

  test("two entries that share an id and nothing else are both kept", () => {
    const [x, y] = [tileTick(stamp("aaaa", 1), "A1", "hung"), tileTick(stamp("aaaa", 1), "B2", "hung")];
    const one = merged(merged(emptyRecord(JOB), [x]), [y]);
    expect(one.entries).toHaveLength(2);
    expect(writeRecord(one)).toBe(writeRecord(merged(merged(emptyRecord(JOB), [y]), [x, y, x])));
  });
});

describe("what stands of a hole", () => {
  const empty = tileState([]);
  let n = 0;
  const at = (device = "aaaa") => stamp(device, ++n);
  const hole = (entries: Entry[], number = 5) => tileState(entries).holes.get(number)!;

  test("a tick holds until it is taken back, for one hole of ten or for all; ticking again is a new one", () => {
    const tick = holeTick(at(), "A1", "punched", [1, 2, 3, 4, 5], empty);
    const back = untick(at(), "A1", "punched", [5], tileState([tick]))!;
    expect(tileState([back, tick]).holes.has(5)).toBe(false);
    expect(hole([back, tick], 4).ticks.punched).toEqual([tick]);
    const again = holeTick(at(), "A1", "punched", [5], tileState([tick, back]));
    expect(hole([tick, back, again]).ticks.punched).toEqual([again]);
    expect(untick(at(), "A1", "glued", [5], tileState([tick]))).toBeNull();
  });

  test("another device's tick outlives the one that is taken back", () => {
    const [mine, theirs] = [
      holeTick(at(), "A1", "punched", [5], empty),
      holeTick(at("bbbb"), "A1", "punched", [5], empty),
    ];
    const back = untick(at(), "A1", "punched", [5], tileState([mine]))!;
    expect(hole([mine, theirs, back]).ticks.punched).toEqual([theirs]);
  });

  test("spoilt voids what was ticked before; at its new place it is punched again", () => {
    const punched = holeTick(at(), "A1", "punched", [5], empty);
    const spoilt = sayPlace(at(), "A1", 5, { what: "spoilt" }, tileState([punched]));
    expect(hole([punched, spoilt]).ticks.punched).toEqual([]);
    const moved = sayPlace(at(), "A1", 5, { what: "moved", byUm: [4000, 0] }, tileState([punched, spoilt]));
    const again = holeTick(at(), "A1", "punched", [5], tileState([punched, spoilt, moved]));
    const end = hole([again, moved, spoilt, punched]);
    expect(end.ticks.punched).toEqual([again]);
    expect(end.place).toEqual([moved]);
    expect(end.open).toBe(false);
  });

  test("one moves it while another punches it: both are shown until somebody decides, who is not asked twice", () => {
    const moved = sayPlace(at(), "A1", 5, { what: "moved", byUm: [4000, 0] }, empty);
    const punched = holeTick(at("bbbb"), "A1", "punched", [5], empty);
    const open = hole([moved, punched]);
    expect(open.open).toBe(true);
    expect(open.doubted).toEqual([punched]);
    expect(open.place).toEqual([moved]);
    const decided = sayPlace(at(), "A1", 5, { what: "as planned" }, tileState([moved, punched]));
    expect(hole([moved, punched, decided])).toMatchObject({
      open: false,
      place: [decided],
      ticks: { punched: [punched] },
    });
    // a third who had heard of neither says something else: open again
    const third = sayPlace(at("cccc"), "A1", 5, { what: "given up" }, empty);
    expect(hole([moved, punched, decided, third]).open).toBe(true);
    // and a decision taken back opens what it had closed
    expect(hole([moved, punched, decided, undo(at(), "A1", [decided])]).open).toBe(true);
  });

  test("two who say the same do not differ; two who move it differently do", () => {
    const up = (device: string) => sayPlace(at(device), "A1", 5, { what: "given up" }, empty);
    expect(hole([up("aaaa"), up("bbbb")]).open).toBe(false);
    const by = (device: string, x: number) =>
      sayPlace(at(device), "A1", 5, { what: "moved", byUm: [x, 0] }, empty);
    const both = hole([by("aaaa", 1000), by("bbbb", 2000)]);
    expect(both.open).toBe(true);
    expect(both.place).toHaveLength(2);
  });

  test("a strand's story: dead, replaced by a spare, years later dead again", () => {
    const told: Entry[] = [];
    for (const what of [{ what: "dead" }, { what: "replaced", diameterMm: 1 }, { what: "dead" }] as const)
      told.push(sayStrand(at(), "A1", 5, what, tileState(told)));
    expect(hole(told.toReversed()).strand).toEqual([told[2]]);
    expect(hole(told).open).toBe(false);
    const weak = sayStrand(at("bbbb"), "A1", 5, { what: "weak" }, tileState(told.slice(0, 1)));
    expect(hole([...told, weak])).toMatchObject({ open: true });
  });
});
