import { describe, expect, test } from "vitest";
import { renderedMilli } from "../../src/pattern/rungs.ts";
import { lightOf, magnitudeOf } from "../../src/pattern/light.ts";
import { seededRandom } from "../../src/pattern/random.ts";

describe("Pogson's scale", () => {
  test("5 magnitudes are 100 times the light (Pogson 1856)", () => {
    expect(lightOf(-5000) / lightOf(0)).toBeCloseTo(100, 9);
    expect(lightOf(1000) / lightOf(2000)).toBeCloseTo(2.51188643150958, 12); // 100^(1/5)
  });

  test("agrees with Math.pow and Math.log10 from the Sun to the faintest", () => {
    for (let m = -30_000; m <= 20_000; m += 37) {
      expect(lightOf(m) / 10 ** (-0.0004 * m)).toBeCloseTo(1, 10);
      expect(magnitudeOf(lightOf(m))).toBe(m);
      expect(magnitudeOf(10 ** (-0.0004 * (m + 0.4)))).toBe(m);
      expect(magnitudeOf(10 ** (-0.0004 * (m + 0.6)))).toBe(m + 1);
    }
  });

  test("strands against the area law worked out by hand, relative to 0.75 mm", () => {
    const table: [number, number][] = [[0.25, 2.4], [0.5, 0.9], [1, -0.6], [1.5, -1.5], [2, -2.1], [3, -3]]; // prettier-ignore
    for (const [diameterMm, magnitude] of table)
      expect((renderedMilli(diameterMm) - renderedMilli(0.75)) / 1000).toBeCloseTo(magnitude, 1.01);
    // 0.5 -> 1.5 mm is 9 times the area, 2.4 mag.
    expect((renderedMilli(0.5) - renderedMilli(1.5)) / 1000).toBeCloseTo(2.5 * Math.log10(9), 2);
  });
});

describe("the source of chance", () => {
  test("each seed and each stream goes its own way, the same every time", () => {
    const draw = (seed: number, stream?: number) => {
      const random = seededRandom(seed, stream);
      return Array.from({ length: 8 }, () => random.next());
    };
    expect(draw(1)).toEqual(draw(1));
    expect(draw(1)).not.toEqual(draw(2));
    expect(draw(1, 1)).not.toEqual(draw(1, 2));
    for (const n of draw(3)) expect(Number.isInteger(n) && n >= 0 && n < 2 ** 32).toBe(true);
  });

  test("is even: chi-square over 100 bins below 148.2 (0.1 % point for 99 degrees of freedom, NIST handbook 1.3.6.7.4)", () => {
    const random = seededRandom(42);
    const bins = new Array<number>(100).fill(0);
    for (let i = 0; i < 100_000; i++) bins[random.below(100)]!++;
    expect(bins.reduce((sum, n) => sum + (n - 1000) ** 2 / 1000, 0)).toBeLessThan(148.2);
  });
});
