import { describe, expect, it } from "vitest";
import fc from "fast-check";
import { JobFaults } from "../../src/job/faults.ts";
import { biasPrecession, earthOrientation, earthVelocity } from "../../src/sky/earth.ts";
import { icrsOf, seenAt, skyFrame } from "../../src/sky/frame.ts";
import { apply, directionOf, horizontalDirection, unit, type Vector } from "../../src/sky/linear.ts";
import { altitudeDegOf, azimuthDegOf } from "../../src/sky/trig.ts";
import {
  aNight,
  ARCSEC_PER_DEGREE,
  readAuthority,
  separationArcsec,
  type StarRow,
  tableOf,
} from "./support.ts";
import { starSeenAt } from "../../src/sky/project.ts";

const SECONDS_PER_DEGREE = 240;
const hms = (h: number, m: number, s: number) => h * 15 + m / 4 + s / SECONDS_PER_DEGREE;

/**
 * Meeus computes with the IAU 1976/1982 models, we with IAU 2006. What lies between the two is known and
 * subtracted, not tolerated: these offsets are ERFA's own (gmst06 - gmst82 and pmat06 against pmat76).
 */
const ERFA_SIDEREAL_2006_LESS_1982_S = 0.0033078;
const ERFA_PRECESSION_2006_LESS_1976_DEG = { ra: -0.00002567, dec: -0.00001328 };

describe("sidereal time", () => {
  // Source: Meeus, Astronomical Algorithms, examples 12.a and 12.b.
  it.each([
    ["1987 April 10, 0h, mean", 2446895.5, "meanSiderealDeg" as const, hms(13, 10, 46.3668)],
    ["1987 April 10, 0h, apparent", 2446895.5, "siderealDeg" as const, hms(13, 10, 46.1351)],
    ["1987 April 10, 19:21, mean", 2446896.30625, "meanSiderealDeg" as const, hms(8, 34, 57.0896)],
  ])("%s", (_, jd, key, expectedDeg) => {
    const seconds = (earthOrientation(jd, jd)[key] - expectedDeg) * SECONDS_PER_DEGREE;
    expect(Math.abs(seconds - ERFA_SIDEREAL_2006_LESS_1982_S)).toBeLessThan(0.0005);
  });
});

describe("theta Persei on 2028 November 13.19 TD", () => {
  const jdTt = 2462088.69;
  // J2000 place with its proper motion to that date, as both examples have it.
  const star = directionOf(41.054063, 49.22775);
  it("precession alone: Meeus, example 21.b", () => {
    const [x, y, z] = apply(biasPrecession(jdTt), star);
    const offset = ERFA_PRECESSION_2006_LESS_1976_DEG;
    expect(azimuthDegOf(x, y)).toBeCloseTo(41.547214 + offset.ra, 5);
    expect(altitudeDegOf(x, y, z)).toBeCloseTo(49.348483 + offset.dec, 5);
  });

  it("apparent place: Meeus, example 23.a", () => {
    const velocity = earthVelocity(jdTt);
    const aberrated = star.map((p, i) => p + velocity[i]!) as Vector;
    const seen = unit(apply(earthOrientation(jdTt, jdTt).toDate, aberrated));
    const meeus = directionOf(hms(2, 46, 14.39), 49 + 21 / 60 + 7.45 / 3600);
    // 0.08" of IAU 1976 precession, the rest the example's first-order sums.
    expect(separationArcsec(seen, meeus)).toBeLessThan(0.15);
  });
});

interface StarsErfa {
  stars: (StarRow & { name: string })[];
  skies: {
    utc: string;
    latDeg: number;
    lonDeg: number;
    elevationM: number;
    azimuthAltitudeDeg: ([number, number] | null)[];
  }[];
}

describe("stars against ERFA", () => {
  // Source: ERFA through python3-erfa, tests/authorities/stars-erfa.json (18 skies, 63 stars each).
  const TOLERANCE_ARCSEC = 0.5;
  const { stars, skies } = readAuthority<StarsErfa>("stars-erfa.json");
  const table = tableOf(stars.map((star, i) => ({ ...star, hip: i + 1 })));

  it.each(skies)("$utc at $latDeg, $lonDeg", ({ utc, azimuthAltitudeDeg, ...place }) => {
    const frame = skyFrame(aNight({ place, moment: { utc } }));
    azimuthAltitudeDeg.forEach((expected, row) => {
      if (!expected) return;
      const error = separationArcsec(starSeenAt(table, frame, row), horizontalDirection(...expected));
      expect(error, stars[row]!.name).toBeLessThan(TOLERANCE_ARCSEC);
    });
  });

  it("needs its proper motions: without them alpha Centauri is minutes of arc off in 1900", () => {
    const row = stars.findIndex((s) => s.name === "Rigil Kentaurus");
    const { utc, azimuthAltitudeDeg, ...place } = skies[0]!;
    const frame = skyFrame(aNight({ place, moment: { utc } }));
    const fixed = tableOf([{ raDeg: stars[row]!.raDeg, decDeg: stars[row]!.decDeg }]);
    const error = separationArcsec(
      starSeenAt(fixed, frame, 0),
      horizontalDirection(...azimuthAltitudeDeg[row]!),
    );
    expect(error).toBeGreaterThan(360);
    expect(error).toBeLessThan(380);
  });
});

describe("the frame", () => {
  const places = fc.record({
    latDeg: fc.oneof(fc.double({ min: -90, max: 90, noNaN: true }), fc.constantFrom(-90, 90, 0)),
    lonDeg: fc.oneof(fc.double({ min: -180, max: 180, noNaN: true }), fc.constantFrom(-180, 180)),
    elevationM: fc.integer({ min: -500, max: 9000 }),
  });
  const moments = fc
    .date({
      min: new Date("1800-01-01T00:00:00Z"),
      max: new Date("2200-12-31T00:00:00Z"),
      noInvalidDate: true,
    })
    .map((date) => ({ utc: date.toISOString() }));
  const directions = fc
    .tuple(fc.double({ min: 0, max: 360, noNaN: true }), fc.double({ min: -90, max: 90, noNaN: true }))
    .map(([lon, lat]) => directionOf(lon, lat));

  it("goes to what is seen and back, refracted or not", () => {
    fc.assert(
      fc.property(places, moments, directions, fc.boolean(), (place, moment, direction, refraction) => {
        const frame = skyFrame(aNight({ place, moment, refraction, bodies: false }));
        const seen = seenAt(frame, direction);
        fc.pre(!refraction || seen[2] > 0);
        const back = icrsOf(frame, seen);
        expect(separationArcsec(back, direction)).toBeLessThan(1e-3);
      }),
      { numRuns: 300, seed: 20310214 },
    );
  });

  it("is finite everywhere on the globe, from 1800 to 2200", () => {
    fc.assert(
      fc.property(places, moments, (place, moment) => {
        const frame = skyFrame(aNight({ place, moment }));
        const numbers = [
          ...frame.matrix,
          ...frame.velocity,
          frame.years,
          ...[frame.sun, ...frame.bodies].flatMap((b) => [b.altitudeDeg, b.azimuthDeg, b.magnitude, b.lit]),
        ];
        expect(numbers.every(Number.isFinite)).toBe(true);
        const rows = [0, 3, 6].map((i) => Math.hypot(...frame.matrix.subarray(i, i + 3)));
        rows.forEach((length) => expect(length).toBeCloseTo(1, 12));
      }),
      { numRuns: 200, seed: 1800 },
    );
  });

  it("puts the celestial pole at the place's latitude, due north", () => {
    // By geometry; the true pole of date is the axis of toDate.
    const frame = skyFrame(aNight());
    const m = earthOrientation(frame.instant.jdUt, frame.instant.jdTt).toDate;
    const pole: Vector = [m[6]!, m[7]!, m[8]!];
    const [x, y, z] = apply(frame.matrix, pole);
    expect(altitudeDegOf(x, y, z)).toBeCloseTo(48.2082, 9);
    expect(Math.min(azimuthDegOf(x, y), 360 - azimuthDegOf(x, y))).toBeLessThan(1e-9);
  });

  it("turns once in a sidereal day of 23h 56m 4.0905s", () => {
    // Source: mean sidereal day, Explanatory Supplement; mean solar day over 1.002737909.
    const at = (jd: number) => earthOrientation(jd, jd).meanSiderealDeg;
    const day = 1 / 1.002737909350795;
    expect(day * 86_400).toBeCloseTo(86_164.0905, 3);
    expect(Math.abs(at(2460000.25 + day) - at(2460000.25)) * ARCSEC_PER_DEGREE).toBeLessThan(0.01);
  });

  it.each([
    [{ latDeg: 90.001, lonDeg: 0, elevationM: 0, name: "" }, "sky.place.latDeg"],
    [{ latDeg: Number.NaN, lonDeg: 0, elevationM: 0, name: "" }, "sky.place.latDeg"],
    [{ latDeg: 0, lonDeg: 181, elevationM: 0, name: "" }, "sky.place.lonDeg"],
    [{ latDeg: 0, lonDeg: 0, elevationM: Infinity, name: "" }, "sky.place.elevationM"],
  ])("refuses a place off the globe: %o", (place, path) => {
    try {
      skyFrame({ ...aNight(), place });
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(JobFaults);
      expect((error as JobFaults).faults.map((f) => f.path)).toEqual([path]);
    }
  });
});
