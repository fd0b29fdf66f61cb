import fc from "fast-check";
import type { Entry, HoleStep } from "../../src/record/entry.ts";
import { HOLE_STEPS, TILE_STEPS } from "../../src/record/entry.ts";
import { merged, type WorkRecord } from "../../src/record/record.ts";
import { holeTick, sayPlace, sayStrand, tileTick, undo, untick } from "../../src/record/say.ts";
import { byTile, tileState } from "../../src/record/state.ts";

export const JOB = { id: "a-room", title: "A room" };
export const stamp = (run: string, n: number, more: Partial<Entry> = {}) => ({
  id: `${run}-${n}`,
  atMs: 1_790_000_000_000 + n * 1000,
  who: "Ada",
  device: run,
  revision: 1,
  ...(more as object),
});

/** What a pair of hands may do: whom, which tile and hole, which thing to say. */
export const act = fc.record({
  device: fc.nat(4),
  tile: fc.constantFrom("A1", "B2"),
  hole: fc.integer({ min: 1, max: 6 }),
  doing: fc.nat(9),
  atMs: fc.integer({ min: 0, max: 4e12 }),
  /** Afterwards these two devices tell each other a part of what they know: a mask over the entries. */
  tells: fc.option(fc.record({ to: fc.nat(4), mask: fc.nat(2 ** 16 - 1) }), { nil: null }),
});
export type Act = typeof act extends fc.Arbitrary<infer T> ? T : never;

/** Runs hands on five devices that hear of each other late, in part, twice; gives what each knows at the end. */
export function runCrew(acts: readonly Act[]): WorkRecord[] {
  const crew = Array.from({ length: 5 }, (): WorkRecord => ({ job: JOB, entries: [] }));
  const counts = [0, 0, 0, 0, 0];
  for (const { device, tile, hole, doing, atMs, tells } of acts) {
    const own = crew[device]!;
    const state = tileState(byTile(own.entries).get(tile) ?? []);
    const at = stamp(`a11${device}`, ++counts[device]!, { atMs });
    const told = ((): Entry | null => {
      if (doing < 3) return holeTick(at, tile, HOLE_STEPS[doing]!, [hole, (hole % 6) + 1], state);
      if (doing === 3) return untick(at, tile, HOLE_STEPS[hole % 3] as HoleStep, [hole], state);
      if (doing === 4) return sayPlace(at, tile, hole, { what: "moved", byUm: [hole, device] }, state);
      if (doing === 5) return sayPlace(at, tile, hole, { what: "given up" }, state);
      if (doing === 6) return sayPlace(at, tile, hole, { what: "spoilt" }, state);
      if (doing === 7) return sayStrand(at, tile, hole, { what: hole > 3 ? "dead" : "weak" }, state);
      if (doing === 8) return tileTick(at, tile, TILE_STEPS[hole]!);
      return undo(at, tile, own.entries.filter((e) => "tile" in e && e.tile === tile).slice(-1));
    })();
    if (told) crew[device] = merged(own, [told]);
    if (tells) {
      const some = crew[device]!.entries.filter((_, i) => (tells.mask >> (i % 16)) & 1);
      crew[tells.to] = merged(crew[tells.to]!, [...some.toReversed(), ...some]);
    }
  }
  return crew;
}
