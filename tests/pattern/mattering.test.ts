import { describe, expect, test } from "vitest";
import { holeLight } from "../../src/pattern/packing.ts";
import { settle, type Setting, type TestStar } from "./synthetic.ts";

/** A figure of four, one of them under the middle of the tee at x = 600, amid fainter stars. */
const figure: TestStar[] = [
  { hip: 1, xMm: 300, yMm: 300, magnitude: 2 },
  { hip: 2, xMm: 598, yMm: 300, magnitude: 4.4 },
  { hip: 3, xMm: 420, yMm: 420, magnitude: 4.6 },
  { hip: 4, xMm: 200, yMm: 420, magnitude: 5.9 },
];
const field: TestStar[] = Array.from({ length: 300 }, (_, k) => ({
  hip: 10 + k,
  xMm: 40 + ((k * 137) % 1120),
  yMm: 40 + ((k * 89) % 1120),
  magnitude: 3 + (k % 35) / 10,
}));
const plan = (mattering: string[], pattern: Setting["pattern"] = {}, count = 150) =>
  settle({ stars: [...figure, ...field], figures: [[1, 2, 3, 4]], mattering, pattern: { deeperShare: 0, ...pattern }, strands: { stock: [{ diameterMm: 1, count }] } }); // prettier-ignore
const of = (p: ReturnType<typeof settle>, hip: number) => p.holes.find((h) => h.star === hip);

describe("a figure that matters", () => {
  test("is kept whole even beyond the limit of brightness, there on the thinnest strand", () => {
    const without = plan([], {}, 60);
    expect(of(without, 4)).toBeUndefined();
    const p = plan(["F0"], {}, 60);
    expect(figure.map(({ hip }) => of(p, hip)?.star)).toEqual([1, 2, 3, 4]);
    expect(of(p, 4)).toMatchObject({ deeper: true });
    expect(p.holes.length).toBe(60);
    expect(p.fidelity.mattering).toMatchObject([{ abbreviation: "F0", onCeiling: 4, kept: 4 }]);
  });

  test("moves least: a star under a tee comes just clear of it", () => {
    const mattering = plan(["F0"], { airMm: 0 });
    // usable from 19.5 mm beside the middle of the tee; a star of this brightness would be eased farther in
    expect(of(mattering, 2)!.movedMm).toBeLessThan(of(plan([], { airMm: 0 }), 2)!.movedMm);
    expect(of(mattering, 2)!.movedMm).toBeLessThan(26);
  });

  test("fainter stars give it air, as far as asked, and are named with their reason", () => {
    const p = plan(["F0"], { airMm: 70 });
    for (const { hip, magnitude } of figure) {
      const own = of(p, hip);
      if (!own) continue; // joined a brighter star beside it
      const near = p.holes.filter((h) => h !== own && Math.hypot(h.xMm - own.xMm, h.yMm - own.yMm) < 69.9);
      for (const h of near) expect(h.inFigure || h.magnitude! < Math.max(3.001, magnitude + 1)).toBe(true);
    }
    const gave = p.lost.filter((l) => l.reason === "gives air to a constellation");
    expect(gave.length).toBeGreaterThan(1);
    expect(p.fidelity.gaveAir).toBe(gave.length);
    for (const l of gave) expect(l.detail).toMatch(/^HIP [1-4]$/);
    expect(plan(["F0"], { airMm: 0 }).fidelity.gaveAir).toBe(0);
    expect(p.holes.length).toBe(150);
  });

  test("has the whole ladder: from the fullest hole to the thinnest strand, and what is brighter or fainter shares its ends", () => {
    const brighter: TestStar = { hip: 900, xMm: 900, yMm: 900, magnitude: -1 };
    const clear = field.filter((f) =>
      figure.every((own) => Math.hypot(own.xMm - f.xMm, own.yMm - f.yMm) > 20),
    );
    const light = (mattering: string[]) => {
      const p = settle({ stars: [brighter, ...figure, ...clear], figures: [[1, 2, 3, 4]], mattering, pattern: { deeperShare: 0 }, strands: { stock: [{ diameterMm: 1, count: 300 }], mostPerHole: 7 } }); // prettier-ignore
      expect(p.fidelity.stepErrorMag).toBeLessThanOrEqual(0.25);
      const lights = p.holes.map(holeLight);
      return {
        p,
        most: Math.max(...lights),
        least: Math.min(...lights),
        of: (hip: number) => holeLight(of(p, hip)!),
      };
    };
    const plain = light([]);
    const named = light(["F0"]);
    expect(named.p.scale.ends).toEqual({ fromMilli: 2000, toMilli: 5900 });
    expect(named.of(900)).toBe(named.most);
    expect(named.of(1)).toBe(named.most);
    expect(plain.of(1)).toBeLessThan(plain.most);
    expect(named.of(4)).toBe(named.least);
    expect(named.p.scale.exponent).toBeGreaterThan(plain.p.scale.exponent);
  });
});
