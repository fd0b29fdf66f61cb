import { describe, expect, test } from "vitest";
import { atan2Deg, sinCosDeg } from "../../src/sky/exactTrig.ts";

const DEG = Math.PI / 180;

describe("trigonometry without the engine's own", () => {
  test("quarter turns are exact, and 30, 45, 60 degrees have their textbook values", () => {
    expect(sinCosDeg(0)).toEqual([0, 1]);
    expect(sinCosDeg(90)).toEqual([1, -0]);
    expect(sinCosDeg(180).map(Math.abs)).toEqual([0, 1]);
    expect(sinCosDeg(-90)[0]).toBe(-1);
    expect(sinCosDeg(30)[0]).toBeCloseTo(0.5, 15);
    expect(sinCosDeg(45)[0]).toBeCloseTo(Math.SQRT1_2, 15);
    expect(sinCosDeg(60)[1]).toBeCloseTo(0.5, 15);
  });

  test("sine and cosine agree with Math within 2e-15, all the way round and beyond", () => {
    for (let angle = -800; angle <= 800; angle += 0.0917) {
      const [s, c] = sinCosDeg(angle);
      // The reference is reduced the same way: Math.sin of a large radian argument carries its rounding.
      const rest = (angle % 360) * DEG;
      expect(Math.abs(s - Math.sin(rest))).toBeLessThan(2e-15);
      expect(Math.abs(c - Math.cos(rest))).toBeLessThan(2e-15);
      expect(Math.abs(s * s + c * c - 1)).toBeLessThan(6e-16);
    }
  });

  test("the arctangent agrees with Math.atan2 within 1e-12 degrees, in every octant and on the axes", () => {
    for (let angle = -180; angle <= 180; angle += 0.0831) {
      const [y, x] = [Math.sin(angle * DEG), Math.cos(angle * DEG)];
      expect(Math.abs(atan2Deg(y, x) - Math.atan2(y, x) / DEG)).toBeLessThan(1e-12);
    }
    expect(atan2Deg(0, 1)).toBe(0);
    expect(atan2Deg(1, 0)).toBe(90);
    expect(atan2Deg(-1, 0)).toBe(-90);
    expect(atan2Deg(0, -1)).toBe(180);
    expect(atan2Deg(0, 0)).toBe(0);
  });
});
