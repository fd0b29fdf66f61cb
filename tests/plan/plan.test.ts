import { readFileSync } from "node:fs";
import { Body, DefineStar, Equator, Horizon, Observer } from "astronomy-engine";
import fc from "fast-check";
import { beforeAll, describe, expect, test } from "vitest";
import { needsDeepCatalog } from "../../src/catalogDepth.ts";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { JobFaults } from "../../src/job/faults.ts";
import type { JobInput } from "../../src/job/schema.ts";
import { planJob } from "../../src/work/planJob.ts";
import type { Planned } from "../../src/plan.ts";
import type { Catalog } from "../../src/sky/types.ts";
import { sampleJob } from "../job/sample.ts";
import { expectBookkeeping, expectHardRules } from "./hardRules.ts";
import { randomJob } from "./randomJob.ts";

/** Seeds that once failed stay here for good. */
const SEEDS = [20_290_908];

let catalog: Catalog;
beforeAll(async () => {
  catalog = await loadCatalog();
});

const plan = (input: JobInput): Planned => planJob(checkJob(JSON.stringify(input)).job, catalog);

const codes = (input: JobInput): string[] => plan(input).warnings.map((w) => w.code);

describe("planning random jobs", () => {
  // tests/fuzz plans many more, wilder ones
  test.each([...SEEDS.map((seed) => [seed, 60] as const), [undefined, 25] as const])(
    "no hard rule is ever broken and the books add up (seed %s)",
    (seed, numRuns) => {
      let planned = 0;
      const property = fc.property(randomJob, (input) => {
        let made: Planned;
        try {
          made = plan(input);
        } catch (error) {
          // a room without usable area or a stock of nothing is refused, with a path to look at
          if (!(error instanceof JobFaults)) throw error;
          expect(error.faults.every((f) => f.path.startsWith("ceiling") || f.path === "strands.stock")).toBe(
            true,
          );
          return;
        }
        planned++;
        expectHardRules(made);
        expectBookkeeping(made);
      });
      fc.assert(property, { numRuns, ...(seed === undefined ? {} : { seed }) });
      expect(planned).toBeGreaterThan(numRuns / 2);
    },
  );

  test("the same job gives the same plan, however it was written", () => {
    fc.assert(
      fc.property(randomJob, (input) => {
        fc.pre(input.strands.stock.some((s) => s.count > 0));
        let first: Planned;
        try {
          first = plan(input);
        } catch {
          return;
        }
        const reordered = Object.fromEntries(Object.entries(input).reverse()) as unknown as JobInput;
        expect(JSON.stringify(plan(reordered).pattern)).toBe(JSON.stringify(first.pattern));
      }),
      { numRuns: 15 },
    );
  });
});

describe("the demo", () => {
  let demo: Planned;
  beforeAll(() => {
    demo = planJob(checkJob(readFileSync("demo/harbour-dining-room.velarium.json")).job, catalog);
  });

  test("is as awkward as a real room", () => {
    const { noGo, tiles } = demo.job.ceiling;
    const count = (kind: string): number => noGo.filter((zone) => zone.kind === kind).length;
    expect(demo.ceiling.tiles.length).toBeGreaterThanOrEqual(48);
    expect(demo.ceiling.tiles.some((tile) => tile.cut)).toBe(true);
    expect([count("sprinkler"), count("smoke-detector"), count("future-fitting")]).toEqual([2, 1, 1]);
    expect(
      Object.values(tiles)
        .map((t) => t.use)
        .sort(),
    ).toEqual(["fabric", "plain"]);
    expect(new Set(demo.pattern.holes.map((h) => h.diameterMm)).size).toBe(3);
    expect(demo.pattern.holes.reduce((sum, h) => sum + h.strands, 0)).toBeGreaterThanOrEqual(1652);
    expect(demo.job.sky.options.length).toBeGreaterThanOrEqual(2);
  });

  test("keeps every hard rule", () => {
    expectHardRules(demo);
    expectBookkeeping(demo);
  });

  test("shows a dark sky with nothing to warn of, and what was decided by hand holds", () => {
    expect(demo.frame.sun.altitudeDeg).toBeLessThan(-18);
    expect(demo.warnings.filter((w) => /sun|twilight|dark|by-hand|shortfall/.test(w.code))).toEqual([]);
    expect(demo.pattern.byHand.map((r) => r.kept)).toEqual([true, true, true]);
  });

  test("puts Vega where another astronomy library and the formula of DEVELOPERS.md put it", () => {
    // astronomy-engine (npm) for the apparent place; Vega J2000: 279.23474°, +38.78369° (Hipparcos)
    const { latDeg, lonDeg, elevationM } = demo.night.place;
    const date = new Date(demo.frame.instant.utcIso);
    const observer = new Observer(latDeg, lonDeg, elevationM);
    DefineStar(Body.Star1, 279.23474 / 15, 38.78369, 25);
    const { ra, dec } = Equator(Body.Star1, date, observer, true, true);
    const { azimuth, altitude } = Horizon(date, observer, ra, dec, "normal");
    const radians = Math.PI / 180;
    const { anchorMm, radiusMm, halfAngleDeg, bearingDeg } = demo.projection;
    const r = (radiusMm * Math.tan(((90 - altitude) / 2) * radians)) / Math.tan((halfAngleDeg / 2) * radians);
    const vega = demo.pattern.holes.find((h) => h.star === 91262)!;
    // 1 mm here is 0.02° at the zenith; proper motion since 2000 is 0.14 mm of it
    expect(
      Math.abs(vega.trueXMm! - (anchorMm[0] + r * Math.sin((azimuth - bearingDeg) * radians))),
    ).toBeLessThan(1);
    expect(
      Math.abs(vega.trueYMm! - (anchorMm[1] + r * Math.cos((azimuth - bearingDeg) * radians))),
    ).toBeLessThan(1);
    expect(vega).toMatchObject({ name: "Vega", tile: "D4", diameterMm: 1.5, movedMm: 0 });
  });
});

describe("warnings", () => {
  const withMoment = (utc: string): JobInput => {
    const job = sampleJob();
    job.sky.options[0]!.moment = { utc };
    return job;
  };

  test("daylight, old zones, an empty view, decisions that no longer fit", () => {
    expect(codes(withMoment("2031-06-21T11:00:00Z"))).toContain("sun-is-up");
    expect(codes(withMoment("2031-02-14T22:00:00Z"))).not.toContain("sun-is-up");
    const old = sampleJob();
    old.sky.options[0]!.moment = { local: "1936-02-14T21:00", zone: "Europe/Amsterdam" };
    expect(codes(old)).toContain("zone-history-merged");
    const down = sampleJob();
    down.sky.options[0]!.view = { altitudeDeg: -60 };
    down.sky.options[0]!.field = { halfAngleDeg: 10 };
    expect(codes(down)).toContain("empty-sky");
    const pinned = sampleJob();
    pinned.pattern = { byHand: [{ do: "add", atMm: [600, 600] }] };
    expect(plan(pinned).warnings).toContainEqual(
      expect.objectContaining({ code: "by-hand-not-kept", path: "pattern.byHand[0]" }),
    );
  });

  test("a shortfall is said with its number", () => {
    const job = sampleJob();
    job.strands.stock = [{ diameterMm: 1, count: 30_000 }];
    job.pattern = { spacingMm: 40 };
    const made = plan(job);
    const { message } = made.warnings.find((w) => w.code === "shortfall")!;
    const [missing, wanted] = message.match(/\d+/g)!.map(Number);
    expect(made.pattern.holes.length).toBe(wanted! - missing!);
  });
});

describe("the deep catalogue", () => {
  const needs = (halfAngleDeg: number, count: number, more: JobInput["pattern"] = {}): boolean => {
    const input = sampleJob();
    input.sky.options[0]!.field = { halfAngleDeg };
    input.strands.stock = [{ diameterMm: 1, count }];
    input.pattern = more;
    const { job, night } = checkJob(JSON.stringify(input));
    return needsDeepCatalog(job, night);
  };

  test("is asked for by a narrow field or very many strands, not by a plain job", () => {
    expect(needs(60, 1590)).toBe(false);
    expect(needs(8, 1590)).toBe(true);
    expect(needs(60, 20_000)).toBe(true);
    expect(needs(8, 1590, { faintestMagnitude: 6 })).toBe(true); // real stars go on beyond the limit
    expect(needs(8, 1590, { deeperShare: 1 })).toBe(true);
  });

  test("is missed, in words, where only the compact one is at hand", () => {
    const job = sampleJob();
    job.sky.options[0]!.field = { halfAngleDeg: 3 };
    expect(codes(job)).toContain("needs-deep-catalog");
  });
});
