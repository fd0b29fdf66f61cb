import { describe, expect, test } from "vitest";
import { blackBody, starTint, temperatureK } from "../../src/scene/colour.ts";
import { lightOfCode, screenCode, toneCurve } from "../../src/scene/tone.ts";

describe("tone curve", () => {
  test("never falls, ends at black and white", () => {
    let last = -1;
    for (let light = 0; light < 40; light += 0.003) {
      const code = screenCode(light);
      expect(code).toBeGreaterThanOrEqual(last);
      last = code;
    }
    expect(screenCode(0)).toBe(0);
    expect(screenCode(16)).toBe(255);
    expect(screenCode(Infinity)).toBe(255);
    expect(screenCode(NaN)).toBe(0);
  });
  test("widens the steps between faint lights by the power 3/2: four times the light looks eight times", () => {
    expect(toneCurve(0.01)).toBeCloseTo(0.001, 5);
    expect(toneCurve(0.04) / toneCurve(0.01)).toBeCloseTo(8, 1);
  });
  test("follows 1 - e^-y with y = x^(3/2)", () => {
    for (let x = 0; x < 1; x += 0.1)
      expect(Math.abs(toneCurve(x) - (1 - Math.exp(-(x ** 1.5))))).toBeLessThan(0.008);
  });
  test("sRGB: half code is 0.2140 of the light; code 10 is linear (IEC 61966-2-1)", () => {
    expect(lightOfCode(0.5)).toBeCloseTo(0.21404, 5);
    expect(lightOfCode(1)).toBeCloseTo(1, 12);
    expect(lightOfCode(10 / 255)).toBeCloseTo(10 / 255 / 12.92, 12);
  });
  test("the table is within one code of the formula", () => {
    for (let light = 1e-4; light < 12; light *= 1.07) {
      const shown = toneCurve(light);
      const code = 255 * (shown <= 0.0031308 ? 12.92 * shown : 1.055 * shown ** (1 / 2.4) - 0.055);
      expect(Math.abs(screenCode(light) - code)).toBeLessThan(1);
    }
  });
});

describe("colour of stars", () => {
  test.each([
    [-0.3, 16600],
    [0, 10130],
    [0.65, 5780],
    [1.0, 4740],
    [1.5, 3790],
  ])("B-V %f is %i K (Ballesteros 2012, arXiv:1201.1809)", (bv, kelvin) => {
    expect(Math.abs(temperatureK(bv) / kelvin - 1)).toBeLessThan(0.005);
  });
  test("6504 K is near the white of sRGB (D65), cool is red, hot is blue", () => {
    for (const part of blackBody(6504)) expect(Math.abs(part - 1)).toBeLessThan(0.06);
    const [redCool, , blueCool] = blackBody(3000);
    const [redHot, , blueHot] = blackBody(15000);
    expect(redCool).toBeGreaterThan(1.3);
    expect(blueCool).toBeLessThan(0.5);
    expect(blueHot).toBeGreaterThan(1.3);
    expect(redHot).toBeLessThan(0.9);
  });
  test("a tint keeps the luminance, so that it can't change the order", () => {
    for (const bv of [-0.3, 0, 0.6, 1.2, 1.9]) {
      const [r, g, b] = starTint(bv);
      expect(0.2126 * r + 0.7152 * g + 0.0722 * b).toBeCloseTo(1, 9);
    }
    expect(starTint(null)).toEqual([1, 1, 1]);
  });
});
