import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Job } from "../../src/job/schema.ts";
import { demo, differences, issued, told, workedOut } from "./support.ts";

const RUNS = 12;

/** Ways in which a job is changed between the issue and the bench. */
const changes: Record<string, (job: Job, n: number) => Job> = {
  seed: (job, n) => ({ ...job, pattern: { ...job.pattern, seed: n + 2 } }),
  spacing: (job, n) => ({ ...job, pattern: { ...job.pattern, spacingMm: 5 + (n % 9) } }),
  reach: (job, n) => ({ ...job, pattern: { ...job.pattern, reachMm: n % 60, brightReachMm: n % 120 } }),
  evenness: (job, n) => ({ ...job, pattern: { ...job.pattern, evenness: (n % 11) / 10 } }),
  faint: (job, n) => ({ ...job, pattern: { ...job.pattern, deeperShare: (n % 6) / 10, faintestMagnitude: 4 + (n % 3) } }), // prettier-ignore
  byHand: (job) => ({ ...job, pattern: { ...job.pattern, byHand: [] } }),
  stock: (job, n) => ({
    ...job,
    strands: { ...job.strands, stock: job.strands.stock.map((kind, i) => ({ ...kind, count: Math.max(1, Math.round((kind.count * ((n >> i) % 20)) / 10)) })) }, // prettier-ignore
  }),
  otherStrands: (job, n) => ({ ...job, strands: { ...job.strands, stock: [{ diameterMm: 0.5 + (n % 5) / 4, count: 50 + (n % 3000) }] } }), // prettier-ignore
  packing: (job, n) => ({ ...job, strands: { ...job.strands, mostPerHole: 1 + (n % 7), lossDbPerM: (n % 5) / 10 } }), // prettier-ignore
  moment: (job, n) => ({
    ...job,
    sky: { ...job.sky, options: job.sky.options.map((night) => ({ ...night, moment: { utc: `2031-0${1 + (n % 9)}-11T2${n % 4}:00:00Z` } })) }, // prettier-ignore
  }),
  view: (job, n) => ({
    ...job,
    sky: { ...job.sky, options: job.sky.options.map((night) => ({ ...night, field: { ...night.field, halfAngleDeg: 20 + (n % 60) } })) }, // prettier-ignore
  }),
  bearing: (job, n) => ({ ...job, ceiling: { ...job.ceiling, bearingDeg: n % 360 } }),
  noGo: (job, n) => ({
    ...job,
    ceiling: {
      ...job.ceiling,
      noGo: [
        ...job.ceiling.noGo,
        { ...job.ceiling.noGo[0]!, name: "new head", circle: { centreMm: [200 + (n % 4000), 200 + (n % 3000)], radiusMm: 40 + (n % 200) } }, // prettier-ignore
      ],
    },
  }),
  grid: (job, n) => ({ ...job, ceiling: { ...job.ceiling, grid: { ...job.ceiling.grid, originMm: [n % 300, n % 250] } } }), // prettier-ignore
  uses: (job, n) => ({ ...job, ceiling: { ...job.ceiling, tiles: { ...job.ceiling.tiles, [`${"BCD"[n % 3]}${1 + (n % 5)}`]: { use: "plain", why: "" } } } }), // prettier-ignore
  engines: (job, n) => ({
    ...job,
    bundles: { ...job.bundles, kits: [], engines: job.bundles.engines.slice(n % 3).map((engine) => ({ ...engine, atMm: [n % 4000, n % 3000] })) }, // prettier-ignore
  }),
  compensate: (job) => ({ ...job, bundles: { ...job.bundles, compensateLength: true } }),
};

/** Distance code of the test's own: new holes keep the spacing from everything, issued holes from nothing new. */
function nearest(holes: readonly { xMm: number; yMm: number }[], to: { xMm: number; yMm: number }): number {
  return Math.min(...holes.map((hole) => (hole === to ? Infinity : Math.hypot(hole.xMm - to.xMm, hole.yMm - to.yMm)))); // prettier-ignore
}

describe("what is issued stands", () => {
  test("issuing changes nothing by itself", async () => {
    const before = await workedOut(demo);
    for (const tiles of [undefined, ["A1", "C4", "F5"]]) {
      const job = await issued(demo, tiles);
      const own = new Set(job.issued!.tiles.map(({ tile }) => tile));
      const after = await workedOut(job);
      expect(JSON.stringify(after.plan.pattern)).toBe(JSON.stringify(before.plan.pattern));
      expect(differences(told(before, own), told(after, own))).toEqual([]);
    }
  });

  test("holes and strands moved by anything once issued: 0", { timeout: 300_000 }, async () => {
    const whole = await issued(demo);
    const part = await issued(demo, ["A1", "A2", "B3", "C4", "C5", "D7", "F5", "G1"]);
    const exchanged = await issued({ ...demo, bundles: { ...demo.bundles, compensateLength: true } });
    const jobs = await Promise.all(
      [whole, part, exchanged].map(async (job) => {
        const tiles = new Set(job.issued!.tiles.map(({ tile }) => tile));
        return { job, tiles, before: told(await workedOut(job), tiles) };
      }),
    );
    const pick = fc.array(fc.tuple(fc.constantFrom(...Object.keys(changes)), fc.nat(100_000)), { minLength: 1, maxLength: 4 }); // prettier-ignore
    let moved = 0;
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(0, 1, 2), pick, async (which, list) => {
        const { job, tiles, before } = jobs[which]!;
        const changed = list.reduce((one, [name, n]) => changes[name]!(one, n), job);
        const after = await workedOut(changed);
        expect(differences(before, told(after, tiles))).toEqual([]);
        const { holes } = after.plan.pattern;
        expect(new Set(holes.map(({ id }) => id)).size).toBe(holes.length);
        const fresh = holes.filter(({ tile }) => !tiles.has(tile));
        const spacing = changed.pattern.spacingMm - 1e-9;
        for (const hole of fresh) expect(nearest(holes, hole)).toBeGreaterThanOrEqual(spacing);
        const given = new Map<number, number>();
        for (const { diameterMm, strands } of holes) given.set(diameterMm, (given.get(diameterMm) ?? 0) + strands); // prettier-ignore
        for (const { diameterMm, strands } of fresh) {
          const has = changed.strands.stock.find((kind) => kind.diameterMm === diameterMm)!.count;
          expect(strands).toBeLessThanOrEqual(has);
          expect(given.get(diameterMm)!).toBeLessThanOrEqual(has);
        }
        moved += after.plan.warnings.filter(({ code }) => code === "issued-kept").length;
      }),
      { numRuns: RUNS, seed: 20291126 },
    );
    // most of these changes would have moved something
    expect(moved).toBeGreaterThan(RUNS / 2);
  });
});
