import { describe, expect, test } from "vitest";
import { blackBody, starTint, temperatureK } from "../../src/scene/colour.ts";
import { lightOfCode, putPixel } from "../../src/scene/tone.ts";

const shown = (red: number, green = red, blue = red): number[] => {
  const out = new Uint8ClampedArray(4);
  putPixel(out, 0, red, green, blue);
  return [...out.subarray(0, 3)];
};
const screenCode = (light: number): number => shown(light)[1]!;

describe("light on the screen", () => {
  test("never falls, ends at black and white", () => {
    let last = -1;
    for (let light = 0; light < 4; light += 0.0003) {
      const code = screenCode(light);
      expect(code).toBeGreaterThanOrEqual(last);
      last = code;
    }
    expect(screenCode(0)).toBe(0);
    expect(screenCode(1)).toBe(255);
    expect(screenCode(16)).toBe(255);
    expect(screenCode(NaN)).toBe(0);
  });
  test("a colour brighter than white keeps its hue", () => {
    expect(shown(4, 2, 1)).toEqual(shown(1, 0.5, 0.25));
  });
  test("sRGB: half code is 0.2140 of the light; code 10 is linear (IEC 61966-2-1)", () => {
    expect(lightOfCode(0.5)).toBeCloseTo(0.21404, 5);
    expect(lightOfCode(1)).toBeCloseTo(1, 12);
    expect(lightOfCode(10 / 255)).toBeCloseTo(10 / 255 / 12.92, 12);
  });
  test("the table is within one code of the formula", () => {
    for (let light = 1e-4; light < 1; light *= 1.07) {
      const code = 255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);
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
  ])("B-V %f is %i K (Ballesteros 2012, EPL 97, 34008, eq. 14)", (bv, kelvin) => {
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
      const [r, g, b] = starTint(bv, 0);
      expect(0.2126 * r + 0.7152 * g + 0.0722 * b).toBeCloseTo(1, 9);
    }
    expect(starTint(null, 0)).toEqual([1, 1, 1]);
    expect(starTint(1.5, 5)).toEqual([1, 1, 1]);
  });
});
