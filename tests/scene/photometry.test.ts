import { describe, expect, test } from "vitest";
import {
  acuityMm,
  arcminOf,
  areaLight,
  coneLight,
  distanceLight,
  END_CUTS,
  magnitudesBelow,
  starLight,
  transmission,
} from "../../src/scene/photometry.ts";
import { fifthRoot, pow10, smoothstep } from "../../src/scene/exact.ts";

/** Relative error of pow10: its exponent is rounded to 2^-24. */
const POW10_TOLERANCE = 1e-7;

describe("brightness by area (relative to 0.75 mm, worked out by hand)", () => {
  test.each([
    [0.25, 0.11, 2.4],
    [0.5, 0.44, 0.9],
    [1.0, 1.8, -0.6],
    [1.5, 4, -1.5],
    [2.0, 7.1, -2.1],
    [3.0, 16, -3.0],
  ])("%f mm gives %f of the light, %f mag", (diameterMm, light, magnitudes) => {
    expect(areaLight(diameterMm)).toBeCloseTo(light, light < 1 ? 2 : 1);
    expect(magnitudesBelow(areaLight(diameterMm))).toBeCloseTo(magnitudes, 1);
  });
  test("0.5 to 1.5 mm is nine times, 2.4 mag", () => {
    expect(areaLight(1.5) / areaLight(0.5)).toBeCloseTo(9, 12);
    expect(magnitudesBelow(areaLight(0.5) / areaLight(1.5))).toBeCloseTo(2.386, 3);
  });
});

describe("loss by length", () => {
  test("4 dB are exactly one magnitude of Pogson's scale", () => {
    expect(magnitudesBelow(transmission(20, 0.2))).toBeCloseTo(1, 6);
    expect(transmission(20, 0.2)).toBeCloseTo(starLight(1), 8);
  });
  test.each([
    [2, 0.91],
    [5, 0.79],
    [8, 0.69],
    [10, 0.63],
    [15, 0.5],
  ])("0.2 dB/m over %i m leaves %f (10^(-dB/10))", (lengthM, left) => {
    expect(transmission(lengthM, 0.2)).toBeCloseTo(left, 2);
  });
  test.each([
    [5, 0.67],
    [10, 0.45],
  ])("0.35 dB/m over %i m leaves %f (10^(-dB/10))", (lengthM, left) => {
    expect(transmission(lengthM, 0.35)).toBeCloseTo(left, 2);
  });
});

describe("the cone (IEC 60793-2-40: NA 0.5 is 30 degrees half; r = h tan 30)", () => {
  const square = END_CUTS.square;
  const at = (radiusM: number, heightM: number): number =>
    coneLight(heightM / Math.hypot(radiusM, heightM), 0.5, square);
  test("full on the axis", () => {
    expect(coneLight(1, 0.5, square)).toBe(1);
    expect(coneLight(1, 0.5, END_CUTS.snipped)).toBe(1);
  });
  test.each([
    [1.2, 0.69],
    [1.5, 0.87],
    [2.5, 1.44],
  ])("from %f m below, the middle of the soft edge lies %f m aside", (heightM, radiusM) => {
    const edge = square.scatter + (1 - square.scatter) * Math.cos(Math.PI / 6) * 0.5;
    expect(at(radiusM, heightM)).toBeCloseTo(edge, 1);
    // well inside it is bright, well outside only scattered light is left
    expect(at(radiusM * 0.85, heightM)).toBeGreaterThan(0.85);
    expect(at(radiusM * 1.2, heightM)).toBeCloseTo(square.scatter, 6);
  });
  test("never brightens away from the axis", () => {
    for (const end of [square, END_CUTS.snipped]) {
      let last = 2;
      for (let deg = 0; deg <= 100; deg++) {
        const light = coneLight(Math.cos((deg * Math.PI) / 180), 0.5, end);
        expect(light).toBeLessThanOrEqual(last);
        last = light;
      }
    }
  });
});

test("twice as far is a quarter of the light", () => {
  expect(distanceLight(4000)).toBe(0.25);
  expect(distanceLight(2000)).toBe(1);
});

test("Pogson: five magnitudes are a factor of 100 (Pogson 1856)", () => {
  expect(starLight(0) / starLight(5)).toBeCloseTo(100, 4);
  expect(starLight(0) / starLight(1)).toBeCloseTo(2.512, 3);
});

describe("acuity (FACTS.acuityArcmin: 1 arcminute, 0.29 mm per metre)", () => {
  test("0.29 mm at a metre", () => expect(acuityMm(1000)).toBeCloseTo(0.29, 2));
  test.each([
    [0.75, 1.3],
    [1.5, 2.6],
    [3, 5.2],
  ])("%f mm at 2 m is %f arcmin", (mm, arcmin) => expect(arcminOf(mm, 2000)).toBeCloseTo(arcmin, 1));
});

describe("arithmetic alike in every engine, against Math", () => {
  test("pow10", () => {
    for (let x = -20; x <= 20; x += 0.173)
      expect(Math.abs(pow10(x) / 10 ** x - 1)).toBeLessThan(POW10_TOLERANCE);
    expect(pow10(0)).toBe(1);
    expect(pow10(3)).toBe(1000);
  });
  test("fifthRoot", () => {
    for (const v of [1e-6, 0.01, 0.5, 1, 3, 1e5]) expect(fifthRoot(v) / v ** 0.2).toBeCloseTo(1, 13);
    expect(fifthRoot(0)).toBe(0);
  });
  test("smoothstep ends and middle", () => {
    expect([smoothstep(1, 3, 1), smoothstep(1, 3, 2), smoothstep(1, 3, 3)]).toEqual([0, 0.5, 1]);
  });
});
