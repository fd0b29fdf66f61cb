import { describe, expect, test } from "vitest";
import {
  colourSeen,
  coneMagnitude,
  DARK_SKY_MU,
  exposureFor,
  limitingMagnitude,
} from "../../src/scene/eye.ts";

/**
 * Schaefer 1990 (PASP 102, 212) as published: background in nanolambert from magnitudes per square arcsecond,
 * threshold in foot-candles by Hecht 1947 (constants c and k of each branch as logarithms), magnitude from that.
 */
function schaefer(mu: number, logC: number, logK: number): number {
  const background = 34.08 * Math.exp(20.7233 - 0.92104 * mu);
  const footCandles = 10 ** logC * (1 + Math.sqrt(10 ** logK * background)) ** 2;
  return -16.57 - 2.5 * Math.log10(footCandles);
}

describe("the eye's threshold", () => {
  test.each([
    [21.6, 6.435],
    [20, 5.494],
    [18, 3.968],
  ])("a sky of %f magnitudes per square arcsecond shows stars to %f (Schaefer 1990)", (mu, magnitude) => {
    expect(limitingMagnitude(mu)).toBeCloseTo(magnitude, 3);
  });
  test("rods and cones follow the published chain of units, for any sky", () => {
    for (let mu = 17; mu <= 22; mu += 0.5) {
      expect(limitingMagnitude(mu)).toBeCloseTo(schaefer(mu, -9.8, -1.9), 2);
      expect(coneMagnitude(mu)).toBeCloseTo(schaefer(mu, -8.35, -5.9), 2);
    }
  });
  test("colour is seen in bright stars alone, without a jump", () => {
    expect(colourSeen(coneMagnitude(DARK_SKY_MU))).toBe(0);
    expect(colourSeen(5)).toBe(0);
    expect(colourSeen(0)).toBeGreaterThan(0.95);
    let last = 1;
    for (let magnitude = -4; magnitude < 6; magnitude += 0.1) {
      expect(colourSeen(magnitude)).toBeLessThanOrEqual(last);
      expect(last - colourSeen(magnitude)).toBeLessThan(0.1);
      last = colourSeen(magnitude);
    }
  });
});

describe("the one exposure", () => {
  test("sets white half a magnitude under the tenth brightest, whoever is brighter or fainter", () => {
    const lights = Array.from({ length: 500 }, (_, i) => 1000 / (i + 1));
    expect(2.5 * Math.log10(lights[9]! / exposureFor(lights))).toBeCloseTo(0.5, 6);
    expect(exposureFor([...lights.slice(0, 9).map((l) => 100 * l), ...lights.slice(9)])).toBe(
      exposureFor(lights),
    );
  });
  test("goes by the faintest where there are fewer than ten, and is 1 in the dark", () => {
    expect(2.5 * Math.log10(0.2 / exposureFor([3, 0.2, 1]))).toBeCloseTo(0.5, 6);
    expect(exposureFor([]) * 10 ** 0.2).toBeCloseTo(1, 6);
  });
});
