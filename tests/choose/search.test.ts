import { Body, Equator, Observer } from "astronomy-engine";
import { readFile } from "node:fs/promises";
import { describe, expect, test } from "vitest";
import { usableAt } from "../../src/ceiling/find.ts";
import { checkJob } from "../../src/check.ts";
import { nightFacts } from "../../src/choose/facts.ts";
import { betweenLinesDeg, bandOf, type GlowSpread } from "../../src/choose/score.ts";
import { searchNights as searchBy } from "../../src/choose/search.ts";
import { distanceAt, OUTSIDE, usableMap } from "../../src/choose/usableMap.ts";
import { prepareSearch, type SearchOptions, weighSkies } from "../../src/choose/weigh.ts";
import { timesOf, type Wish } from "../../src/choose/wish.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { containsPoint } from "../../src/geometry/area.ts";
import { CannotDo, JobFaults } from "../../src/job/faults.ts";
import { planJob } from "../../src/work/planJob.ts";
import { makeProjection, toPlan } from "../../src/sky/projection.ts";
import { bodyDirection, starSeenAt } from "../../src/sky/project.ts";

const catalog = await loadCatalog();
const { job } = checkJob(
  await readFile(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
);
const searchNights = (asked: typeof job, stars: typeof catalog, wish: Wish, options?: SearchOptions) =>
  searchBy(asked, stars, wish, planJob, options);
const place = job.sky.options[0]!.place;
const zone = "America/Halifax";
const up = [{ azimuthDeg: 0, altitudeDeg: 90 }];

describe("the usable map", () => {
  const { ceiling, map } = prepareSearch(
    job,
    catalog,
    { place, zone, fromLocal: "", toLocal: "" },
    timesOf({ place, zone, fromLocal: "2029-09-08T22:00", toLocal: "2029-09-08T22:00" }).like,
  );
  test("agrees with the ceiling's own exact answers", () => {
    let checked = 0;
    for (let j = 0; j < map.height; j += 7) {
      for (let k = 0; k < map.width; k += 7) {
        const x = map.minX + k * map.cellUm + (map.cellUm >> 1);
        const y = map.minY + j * map.cellUm + (map.cellUm >> 1);
        const distance = distanceAt(map, x, y);
        expect(distance === 0).toBe(usableAt(ceiling, x, y));
        expect(distance === OUTSIDE).toBe(!containsPoint(ceiling.outline, x, y));
        checked++;
      }
    }
    expect(checked).toBeGreaterThan(1000);
  });
  test("its distances are those of a search by brute force over all cells", () => {
    const free: [number, number][] = [];
    map.distanceMm.forEach((d, i) => d === 0 && free.push([i % map.width, Math.floor(i / map.width)]));
    for (let i = 3; i < map.distanceMm.length; i += 1777) {
      if (map.distanceMm[i] === OUTSIDE) continue;
      const [k, j] = [i % map.width, Math.floor(i / map.width)];
      const cells = Math.min(...free.map(([a, b]) => Math.hypot(a - k, b - j)));
      expect(Math.abs(map.distanceMm[i]! - (cells * map.cellUm) / 1000)).toBeLessThanOrEqual(0.5);
    }
  });
  test("is not larger than asked for a big hall", () => {
    expect(usableMap(ceiling).width).toBeLessThanOrEqual(421);
  });
});

test("a small search against brute force: the same light lost and wishes kept, and so the same best turn", async () => {
  const wish: Wish = {
    place,
    zone,
    fromLocal: "2030-01-05T21:00",
    toLocal: "2030-01-05T23:00",
    stepMin: 120,
    constellations: ["Ori"],
    bodies: ["saturn"],
    views: [
      { azimuthDeg: 180, altitudeDeg: 60 },
      { azimuthDeg: 150, altitudeDeg: 50 },
    ],
    turnStepDeg: 30,
  };
  const { like, jdUt } = timesOf(wish);
  const search = prepareSearch(job, catalog, wish, like);
  const found = await weighSkies(search, jdUt);
  expect(found.length).toBe(4);
  const orion = catalog.figures.find((f) => f.abbreviation === "Ori")!;
  const orionStars = new Set(orion.lines.flat());
  for (const candidate of found) {
    // By another road: exact projection of every star with its turn, no rotation table, no typed columns.
    const frame = search.frameOf(jdUt[candidate.time]!);
    const view = { ...search.views[candidate.view]!, turnDeg: candidate.turnDeg };
    const projection = makeProjection(view, search.base.field, job.ceiling.bearingDeg, search.ceiling.box);
    let light = 0;
    let lost = 0;
    let orionLight = 0;
    let orionAll = 0;
    for (let row = 0; row < catalog.stars.count; row++) {
      const hip = catalog.stars.hip[row]!;
      const centi = catalog.stars.magnitudeCenti[row]!;
      if (centi > 400 && !orionStars.has(hip)) continue;
      const shines = 10 ** (-0.004 * centi);
      if (orionStars.has(hip)) orionAll += shines;
      const seen = starSeenAt(catalog.stars, frame, row);
      const at = seen[2] > 0 ? toPlan(projection, ...seen) : null;
      if (at === null || !containsPoint(search.ceiling.outline, Math.round(at.xUm), Math.round(at.yUm)))
        continue;
      const reach =
        centi <= 300 || catalog.figureStars.has(hip) ? job.pattern.brightReachMm : job.pattern.reachMm;
      const away = distanceAt(search.map, at.xUm, at.yUm);
      light += shines;
      if (away > reach) lost += shines;
      else if (orionStars.has(hip)) orionLight += shines;
    }
    for (const body of frame.bodies) {
      const seen = bodyDirection(frame, body);
      const at = seen[2] > 0 ? toPlan(projection, ...seen) : null;
      if (at === null || !containsPoint(search.ceiling.outline, Math.round(at.xUm), Math.round(at.yUm)))
        continue;
      const shines = 10 ** (-0.4 * Math.max(-2, body.magnitude));
      light += shines;
      const away = distanceAt(search.map, at.xUm, at.yUm);
      if (away > job.pattern.brightReachMm) lost += shines;
      if (body.name === "saturn") expect(candidate.wishes[1]).toBe(away <= job.pattern.brightReachMm ? 1 : 0);
    }
    // A star within a cell of the room's edge may fall on either side: one third-magnitude star of tolerance.
    const tolerance = 10 ** (-0.4 * 3) / light;
    expect(Math.abs(candidate.lostShare - lost / light)).toBeLessThan(tolerance);
    expect(Math.abs(candidate.wishes[0]! - orionLight / orionAll)).toBeLessThan(0.02);
  }
  // The best turn by score is the best of all turns weighed one by one.
  const top = found[0]!;
  const alone = await Promise.all(
    [...Array(12).keys()].map(async (i) => {
      const one = { ...search, base: { ...search.base }, wish: { ...wish, turnStepDeg: 360 } };
      const turned = { ...job, ceiling: { ...job.ceiling, bearingDeg: job.ceiling.bearingDeg - 30 * i } };
      const candidates = await weighSkies({ ...one, job: turned }, jdUt);
      return candidates
        .find((c) => c.time === top.time && c.view === top.view)!
        .wishes.reduce((a, b) => a + b, 0);
    }),
  );
  expect(Math.max(...alone)).toBeCloseTo(
    top.wishes.reduce((a, b) => a + b, 0),
    1,
  );
});

describe("a search", () => {
  test("grants Orion and Saturn on a winter night, and the settled plan agrees", async () => {
    const wish: Wish = {
      place,
      zone,
      fromLocal: "2030-01-05T19:00",
      toLocal: "2030-01-06T02:00",
      stepMin: 60,
      constellations: ["Ori"],
      bodies: ["saturn"],
      turnStepDeg: 5,
      proposals: 2,
    };
    const shares: number[] = [];
    const result = await searchNights(job, catalog, wish, { onProgress: (share) => shares.push(share) });
    expect(result.met).toBe(true);
    const best = result.proposals[0]!;
    expect(best.met).toEqual(["Orion, whole", "Saturn", "a dark sky"]);
    expect(best.facts.sunAltitudeDeg).toBeLessThan(-18);
    // settled again from the proposal alone: every star of Orion's figure has a hole
    const plan = planJob({ ...job, sky: { chosen: best.night.id, options: [best.night] } }, catalog);
    const orion = new Set(catalog.figures.find((f) => f.abbreviation === "Ori")!.lines.flat());
    for (const hole of plan.pattern.holes) {
      if (hole.star !== null) orion.delete(hole.star);
      for (const what of hole.merged) if (typeof what === "number") orion.delete(what);
    }
    expect([...orion]).toEqual([]);
    expect(plan.pattern.holes.some((h) => h.name === "Saturn")).toBe(true);
    expect(nightFacts(plan, catalog).lightKept).toBe(best.facts.lightKept);
    // progress rises and ends
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    expect(shares.at(-1)).toBe(1);
    const again = await searchNights(job, catalog, wish);
    expect(JSON.stringify(again)).toBe(JSON.stringify(result));
  });

  test("says plainly that Orion is not up on a September evening, and when it is", async () => {
    const wish: Wish = {
      place,
      zone,
      fromLocal: "2029-09-08T21:30",
      toLocal: "2029-09-08T22:30",
      stepMin: 30,
      constellations: ["Ori"],
      turnStepDeg: 20,
      views: up,
      proposals: 1,
    };
    const result = await searchNights(job, catalog, wish);
    expect(result.met).toBe(false);
    expect(result.verdict).toContain("No night gives all of that");
    const text = result.nearest.join(" ");
    // At 44 north Betelgeuse (declination +7) rises 6 h 28 min before its hour of 5 h 55 min: cos H = -tan 44 tan 7.4
    // (Meeus, ch. 15), at 23.5 h of sidereal time; that is midnight about 13 September, two hours earlier each month
    expect(text).toMatch(/Orion is never wholly up between these hours/);
    const date = /in the dark on (\d+) (\w+) (\d{4})/.exec(text)!;
    expect(["November", "December", "April", "March"]).toContain(date[2]);
  });

  test("a midsummer night at 60 north does not get dark, and is not said to", async () => {
    const oslo = { name: "Oslo", latDeg: 59.91, lonDeg: 10.75, elevationM: 0 };
    const result = await searchNights(job, catalog, {
      place: oslo,
      zone: "Europe/Oslo",
      fromLocal: "2030-06-21T22:00",
      toLocal: "2030-06-22T02:00",
      stepMin: 60,
      turnStepDeg: 60,
      views: up,
      proposals: 1,
    });
    expect(result.met).toBe(false);
    expect(result.examined.dark).toBe(0);
    expect(result.nearest.join(" ")).toMatch(/does not get dark/);
    // At midnight the Sun is 90 - latitude - declination below the horizon; 18 degrees are astronomical darkness.
    // Source of the declination: astronomy-engine (npm), live, at 23:17 UT, when it is midnight by the Sun at 10.75 east.
    const isDark = (day: Date): boolean =>
      90 - oslo.latDeg - Equator(Body.Sun, day, new Observer(0, 0, 0), true, true).dec > 18;
    const nights = Array.from({ length: 200 }, (_, i) => new Date(Date.UTC(2030, 2, 1 + i, 23, 17)));
    const bright = nights.findIndex((day) => !isDark(day));
    const again = nights.findIndex((day, i) => i > bright && isDark(day));
    const [, last, next] = /last dark on (\d+ \w+ 2030).*again on (\d+ \w+ 2030)/.exec(
      result.nearest.join(" "),
    )!;
    // a night is called by its evening or by its morning
    const daysOff = (said: string, index: number): number =>
      Math.abs(Date.parse(`${said} 23:17 UTC`) - nights[index]!.getTime()) / 86_400_000;
    expect(daysOff(last!, bright - 1)).toBeLessThanOrEqual(1);
    expect(daysOff(next!, again)).toBeLessThanOrEqual(1);
    expect(result.proposals[0]!.unmet).toContain("a dark sky");
  });

  test("lays the Milky Way along a wall: the settled sky's band is parallel to it", async () => {
    const wish: Wish = {
      place,
      zone,
      fromLocal: "2029-09-08T21:30",
      toLocal: "2029-09-08T23:30",
      stepMin: 60,
      milkyWayAlongWall: 0,
      turnStepDeg: 3,
      views: up,
      proposals: 1,
    };
    const best = (await searchNights(job, catalog, wish)).proposals[0]!;
    expect(best.met).toContain("the Milky Way along the wall");
    // From outside: the band runs along the galactic equator. Two of its points, Deneb's field (galactic
    // longitude 80) and the Scutum cloud (27), as ICRS directions, are to lie along wall 0, the X axis.
    const plan = planJob({ ...job, sky: { chosen: best.night.id, options: [best.night] } }, catalog);
    const { seenAt } = await import("../../src/sky/frame.ts");
    const { directionOf } = await import("../../src/sky/linear.ts");
    const galacticEquator: [number, number][] = [
      [307.0, 39.9],
      [280.6, -5.0],
    ];
    const [a, b] = galacticEquator.map(([ra, dec]) =>
      toPlan(plan.projection, ...seenAt(plan.frame, directionOf(ra, dec)))!,
    );
    const line = (Math.atan2(b!.yUm - a!.yUm, b!.xUm - a!.xUm) * 180) / Math.PI;
    expect(betweenLinesDeg(line, 0)).toBeLessThan(15);
  });

  test("stops when asked to", async () => {
    const abort = new AbortController();
    const wish: Wish = { place, zone, fromLocal: "2030-01-05T19:00", toLocal: "2030-01-06T05:00" };
    const run = searchNights(job, catalog, wish, {
      signal: abort.signal,
      onProgress: (share) => share > 0.1 && abort.abort(),
    });
    await expect(run).rejects.toThrow(/abort/i);
  });

  test("refuses a wish it can't read, every fault at once", async () => {
    const wish: Wish = {
      place,
      zone,
      fromLocal: "2030-01-05T19:00",
      toLocal: "2030-01-06T05:00",
      constellations: ["Foo"],
      milkyWayAlongWall: 99,
      turnStepDeg: 0,
    };
    const error = await searchNights(job, catalog, wish).catch((e: unknown) => e);
    expect(error).toBeInstanceOf(JobFaults);
    expect((error as JobFaults).faults.map((f) => f.path)).toEqual([
      "wish.constellations[0]",
      "wish.milkyWayAlongWall",
      "wish.turnStepDeg",
    ]);
    const backwards = { place, zone, fromLocal: "2030-01-05T19:00", toLocal: "2030-01-05T18:00" };
    await expect(searchNights(job, catalog, backwards)).rejects.toThrow(CannotDo);
    await expect(searchNights(job, catalog, { ...backwards, toLocal: "2030-01-07T18:00" })).rejects.toThrow(
      /longer/,
    );
  });
});

test("the lie of a band by hand: points on a line at 30 degrees give 30 degrees, straight", () => {
  const map = {
    minX: -5e6,
    minY: -5e6,
    cellUm: 1e6,
    width: 10,
    height: 10,
    distanceMm: new Uint16Array(100),
    usableShare: 1,
  };
  const t = [-3, -1, 0, 2, 4].map((v) => v * 1e6);
  const glow: GlowSpread = {
    x: Float64Array.from(t, (v) => v * Math.cos(Math.PI / 6)),
    y: Float64Array.from(t, (v) => v * Math.sin(Math.PI / 6)),
    level: new Float64Array(5).fill(100),
    whole: 1000,
  };
  const band = bandOf(glow, [0, 0], 0, 1, map);
  expect(band.axisDeg).toBeCloseTo(30, 6);
  expect(band.straight).toBeCloseTo(1, 9);
  expect(band.share).toBeCloseTo(0.5, 9);
  // a turn of the picture is clockwise on the plan
  expect(bandOf(glow, [0, 0], 0.5, Math.sqrt(0.75), map).axisDeg % 180).toBeCloseTo(0, 6);
});
