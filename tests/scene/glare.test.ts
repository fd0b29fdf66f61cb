import { describe, expect, test } from "vitest";
import {
  GLARE_TERMS,
  GLARE_WEIGHTS,
  LARGEST_SPOT_PX,
  lightWithin,
  pointSpread,
  reachOf,
  spreadAt,
} from "../../src/scene/glare.ts";

const RAD = Math.PI / 180;

/** Integral over the hemisphere round the point, in rings that widen from a ten-thousandth of a degree. */
function overHemisphere(term: (deg: number) => number): number {
  let sum = 0;
  for (let from = 0, to = 1e-4; from < 90; from = to, to = Math.min(90, to * 1.002)) {
    const middle = (from + to) / 2;
    sum += 2 * Math.PI * Math.sin(middle * RAD) * term(middle) * (to - from) * RAD;
  }
  return sum;
}
const spreadInEye = (deg: number): number =>
  GLARE_WEIGHTS.core * GLARE_TERMS.core(deg) +
  GLARE_WEIGHTS.near * GLARE_TERMS.near(deg) +
  GLARE_WEIGHTS.far * GLARE_TERMS.far(deg);

describe("spread in the eye", () => {
  test.each([
    ["core", 0.9991],
    ["near", 0.9999],
    ["far", 0.9999],
  ] as const)(
    "the %s term holds %f of the light (Spencer et al. 1995, integrals over the hemisphere)",
    (name, share) => {
      expect(overHemisphere(GLARE_TERMS[name])).toBeCloseTo(share, 3);
    },
  );
  // Their fourth, the halo of wide pupils at 568 nm, is not drawn here; it checks the integral itself far off the middle.
  test("the lenticular halo, which scotopic eyes add, holds 1.0001 of its light", () => {
    const halo = (deg: number): number => 436.9 * Math.exp(-19.75 * (deg - 3) ** 2);
    expect(overHemisphere(halo)).toBeCloseTo(1.0001, 3);
  });
  test("weights add up to the whole light", () => {
    expect(GLARE_WEIGHTS.core + GLARE_WEIGHTS.near + GLARE_WEIGHTS.far).toBeCloseTo(1, 12);
  });
  // CIE 146:2002, general disability glare for an age of 25: 10/angle^3 + 5/angle^2 (1 + (A/62.5)^4), 0.1 to 30
  // degrees; and its age-adapted Stiles-Holladay form 10 (1 + (A/70)^4) / angle^2, here from 6 degrees.
  test("agrees with disability glare of CIE 146:2002 within its spread between people", () => {
    const small = (deg: number): number => 10 / deg ** 3 + (5 / deg ** 2) * (1 + (25 / 62.5) ** 4);
    const stilesHolladay = (deg: number): number => (10 * (1 + (25 / 70) ** 4)) / deg ** 2;
    expect(stilesHolladay(1)).toBeCloseTo(10.163, 3);
    for (const deg of [0.2, 0.5, 1, 2]) {
      expect(spreadInEye(deg) / small(deg)).toBeGreaterThan(0.65);
      expect(spreadInEye(deg) / small(deg)).toBeLessThan(1.5);
    }
    for (const deg of [6, 10, 20, 30])
      expect(Math.abs(spreadInEye(deg) / stilesHolladay(deg) - 1)).toBeLessThan(0.2);
  });
});

describe("a point on the picture", () => {
  const spread = pointSpread(805, 1.8);
  test("is hard: half as bright at half its width, a hundredth at three times that", () => {
    expect(spreadAt(spread, 0)).toBe(1);
    expect(spreadAt(spread, 0.9)).toBeCloseTo(0.5, 1);
    expect(spreadAt(spread, 2.7)).toBeLessThan(0.02);
  });
  test("beyond the core lies the glare of the eye and nothing else", () => {
    // all light in one pixel would be its peak; the sum over the plane is the light
    const whole = lightWithin(spread, LARGEST_SPOT_PX) / partWithin(LARGEST_SPOT_PX);
    for (const px of [12, 30, 100]) {
      const deg = px / 805 / RAD;
      const expected = (whole * spreadInEye(deg)) / 805 ** 2;
      expect(spreadAt(spread, px) / expected).toBeGreaterThan(0.9);
      expect(spreadAt(spread, px) / expected).toBeLessThan(1.1);
    }
  });
  test("conserves the light: out to any distance as much as the published spread has there", () => {
    const whole = lightWithin(spread, LARGEST_SPOT_PX) / partWithin(LARGEST_SPOT_PX);
    for (const px of [10, 20, 60]) expect(lightWithin(spread, px) / whole).toBeCloseTo(partWithin(px), 1);
  });
  test("never rises outwards and ends where it can't be seen", () => {
    let last = 2;
    for (let px = 0; px < LARGEST_SPOT_PX; px += 0.1) {
      expect(spreadAt(spread, px)).toBeLessThanOrEqual(last);
      last = spreadAt(spread, px);
    }
    const reach = reachOf(spread, 5, 1e-4);
    expect(5 * spreadAt(spread, reach)).toBeLessThanOrEqual(1e-4);
    expect(5 * spreadAt(spread, reach - 1)).toBeGreaterThan(1e-4);
  });
  test("a finer picture shows the eye's own core, two arcminutes wide, instead of the screen's", () => {
    expect(pointSpread(805, 1.8).corePx).toBe(1.8);
    expect(pointSpread(20_000, 1.8).corePx).toBeCloseTo(20_000 * 2 * 0.02 * Math.sqrt(Math.log(2)) * RAD, 6);
  });

  /** Part of the published spread within so many pixels, in the plane. */
  function partWithin(px: number): number {
    const within = px / 805 / RAD;
    let sum = 0;
    for (let from = 0, to = 1e-4; from < within; from = to, to = Math.min(within, to * 1.002)) {
      const middle = (from + to) / 2;
      sum += 2 * Math.PI * middle * spreadInEye(middle) * (to - from) * RAD * RAD;
    }
    return sum;
  }
});
