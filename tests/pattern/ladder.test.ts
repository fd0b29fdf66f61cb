import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { assignStrands } from "../../src/pattern/diameters.ts";
import { climb, planLadder, STEP_TOLERANCE_MILLI } from "../../src/pattern/ladder.ts";
import { holeMm, type Strung } from "../../src/pattern/packing.ts";
import { renderedMilli, type Strands } from "../../src/pattern/rungs.ts";

const SETTINGS = { mostPerHole: 7, largestHoleMm: 6, lightExponent: null };
const light = ({ diameterMm, strands }: Strung): number => strands * diameterMm ** 2;
const total = (stock: Strands[]) => stock.reduce((sum, { count }) => sum + count, 0);
const used = (given: readonly Strung[], diameterMm: number) =>
  given.reduce((sum, g) => sum + (g.diameterMm === diameterMm ? g.strands : 0), 0);

/**
 * Magnitudes of a sky of chance places: counts grow by 10^0.5 a magnitude, as star counts do down to V 7 (4,968 to V 6
 * and 15,328 to V 7 in the Hipparcos main catalogue, ESA SP-1200: a factor of 3.09).
 */
const sky = (stars: number) => Array.from({ length: stars }, (_, i) => Math.round(2000 * Math.log10(i + 1)));

/** Root mean square of rendered minus compressed magnitude, in magnitudes, by arithmetic of its own. */
function stepError(milli: readonly number[], given: readonly Strung[], exponent: number): number {
  const off = given.map((g, i) => -2.5 * Math.log10(light(g)) - (exponent * milli[i]!) / 1000);
  const mean = off.reduce((sum, v) => sum + v, 0) / off.length;
  return Math.sqrt(off.reduce((sum, v) => sum + (v - mean) ** 2, 0) / off.length);
}

/** How many of the ten brightest are among the ten of most light, ties by chance. */
function leading(given: readonly Strung[]): number {
  const tenth = light(given[9]!);
  const above = given.filter((g) => light(g) > tenth + 1e-9).length;
  const tied = given.filter((g) => Math.abs(light(g) - tenth) < 1e-9).length;
  return above + ((10 - above) * (10 - above)) / tied;
}

describe("a ladder of brightness", () => {
  const kits: [string, Strands[]][] = [
    ["480 equal strands", [{ diameterMm: 0.75, count: 480 }]],
    ["three diameters", [{ diameterMm: 0.75, count: 1360 }, { diameterMm: 1, count: 260 }, { diameterMm: 1.5, count: 60 }]], // prettier-ignore
    [
      "few thin ones",
      [
        { diameterMm: 0.5, count: 100 },
        { diameterMm: 1, count: 1000 },
      ],
    ],
    [
      "a gap",
      [
        { diameterMm: 3, count: 40 },
        { diameterMm: 0.5, count: 600 },
      ],
    ],
  ];
  test.each(kits)("%s: steps within a quarter of a magnitude, the ten brightest lead", (_, stock) => {
    const milli = sky(6000);
    const plan = planLadder({ milli, stock, use: total(stock), settings: SETTINGS });
    const given = climb(milli.slice(0, plan.stars), plan, stock, total(stock), SETTINGS)!;
    expect(stepError(milli, given, plan.exponent)).toBeLessThanOrEqual(STEP_TOLERANCE_MILLI / 1000);
    expect(leading(given)).toBeGreaterThanOrEqual(9);
    expect(given.reduce((sum, g) => sum + g.strands, 0)).toBeGreaterThan(0.93 * total(stock));
  });

  test("a typed exponent is kept, and a steeper one takes more strands from the faint stars", () => {
    const stock = [{ diameterMm: 0.75, count: 1000 }];
    const stars = [0.2, 0.35, 0.5].map((lightExponent) => {
      const plan = planLadder({
        milli: sky(6000),
        stock,
        use: 1000,
        settings: { ...SETTINGS, lightExponent },
      });
      expect(plan.exponent).toBe(lightExponent);
      return plan.stars;
    });
    expect(stars[0]).toBeGreaterThan(stars[1]!);
    expect(stars[1]).toBeGreaterThan(stars[2]!);
  });

  test("a figure that matters gets the whole ladder", () => {
    const milli = sky(6000);
    const stock = [{ diameterMm: 0.75, count: 480 }];
    const matter = { fromMilli: 1500, toMilli: 3500 };
    const steps = (range: typeof matter | null) => {
      const plan = planLadder({
        milli,
        stock,
        use: 480,
        settings: SETTINGS,
        brightestMilli: milli[0],
        matter: range,
      });
      const given = climb(milli.slice(0, plan.stars), plan, stock, 480, SETTINGS)!;
      const own = given.filter((_, i) => milli[i]! >= 1500 && milli[i]! <= 3500);
      return new Set(own.map((g) => g.strands)).size;
    };
    expect(steps(matter)).toBeGreaterThan(steps(null));
  });

  test("any sky, any stock: stock, hole size and the order of brightness hold, equal stars are equal", () => {
    const stocks = fc.array(
      fc.record({ diameterMm: fc.constantFrom(0.25, 0.5, 0.75, 1, 1.5, 2, 3), count: fc.integer({ min: 0, max: 200 }) }), // prettier-ignore
      { minLength: 1, maxLength: 5 },
    );
    const skies = fc.array(fc.integer({ min: -13_000, max: 9000 }), { minLength: 1, maxLength: 400 });
    fc.assert(
      fc.property(skies, stocks, fc.integer({ min: 2, max: 7 }), fc.integer({ min: 2, max: 8 }), fc.nat(40), (list, stock, mostPerHole, largestHoleMm, fillers) => {
          const milli = list.sort((p, q) => p - q);
          const settings = { mostPerHole, largestHoleMm, lightExponent: null };
          const use = total(stock);
          fc.pre(use > fillers);
          const plan = planLadder({ milli, stock, use: use - fillers, settings });
          expect(plan.stars).toBeGreaterThanOrEqual(1);
          const own = milli.slice(0, Math.min(plan.stars, use - fillers));
          const { real, filler } = assignStrands({ magnitudesMilli: own, filler: fillers, stock, use, scale: plan, settings });
          expect([real.length, filler.length]).toEqual([own.length, fillers]);
          const all = [...real, ...filler];
          expect(all.reduce((sum, g) => sum + g.strands, 0)).toBeLessThanOrEqual(use);
          for (const { diameterMm } of stock) {
            const have = stock.filter((k) => k.diameterMm === diameterMm).reduce((s, k) => s + k.count, 0);
            expect(used(all, diameterMm)).toBeLessThanOrEqual(have);
          }
          for (const g of all)
            expect(g.strands === 1 || (g.strands <= mostPerHole && holeMm(g) <= largestHoleMm)).toBe(true);
          for (let i = 1; i < real.length; i++) expect(light(real[i]!)).toBeLessThanOrEqual(light(real[i - 1]!) + 1e-9);
        },
      ), // prettier-ignore
      { numRuns: 400 },
    );
  });

  test("where the stock has room, no star would be nearer to the scale with other strands: by trying them all", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 6000 }), { minLength: 1, maxLength: 10 }), (list) => {
        const milli = list.sort((p, q) => p - q);
        const stock = [{ diameterMm: 0.75, count: 1000 }, { diameterMm: 1.5, count: 1000 }]; // prettier-ignore
        const plan = planLadder({ milli, stock, use: 2000, settings: SETTINGS });
        const given = climb(milli, plan, stock, 2000, SETTINGS)!;
        given.forEach((g, i) => {
          const wish = Math.max(
            renderedMilli(1.5, 7),
            Math.round(plan.exponent * milli[i]!) + plan.zeroMilli,
          );
          const off = (diameterMm: number, strands: number) =>
            Math.abs(renderedMilli(diameterMm, strands) - wish);
          for (const d of [0.75, 1.5])
            for (let n = 1; n <= 7; n++)
              if (holeMm({ diameterMm: d, strands: n }) <= 6)
                expect(off(g.diameterMm, g.strands)).toBeLessThanOrEqual(off(d, n) + 1);
        });
      }),
      { numRuns: 100 },
    );
  });
});
