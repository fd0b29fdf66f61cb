import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { makeBundles } from "../../src/bundles/bundles.ts";
import { litPlan } from "../../src/bundles/litPlan.ts";
import type { Planned } from "../../src/plan.ts";
import { room, solver, type HoleAt } from "./support.ts";

const light = (h: { diameterMm: number; strands: number }): number => h.strands * h.diameterMm ** 2;

/** Places well inside tiles, all over the room. */
const at = (i: number) => ({
  xMm: (i % 5) * 600 + 100 + ((i * 37) % 400),
  yMm: (Math.floor(i / 5) % 4) * 600 + 100 + ((i * 53) % 400),
});

/** A ceiling of which one small port feeds a part: few thick strands, groups, and many thin ones. */
const sky = (count: number): HoleAt[] =>
  Array.from({ length: count }, (_, i) => ({
    ...at(i),
    magnitude: i / 20,
    diameterMm: i < 40 ? 1.5 : 0.75,
    strands: i < 5 ? 3 : 1,
  }));

describe.each([
  ["by the solver", solver],
  ["by hand rules", null],
])("where engines can't feed everything, %s", (_, use) => {
  test("a port too small: the faintest go dark, Capella and Polaris shine (once all forty of the thickest went dark)", () => {
    const input = room({
      // 300 holes fill sum d^2 = 5 x 3 x 2.25 + 35 x 2.25 + 260 x 0.5625 = 258.75 mm2; 0.75 x 15^2 = 168.75 is there.
      bundles: { engines: [{ letter: "A", atMm: [1500, 1200], portDiameterMm: 15, capacity: 2000 }] },
      holes: sky(300),
    });
    const { strands, unlit } = makeBundles(input, { solver: use });
    const lit = new Set(strands.map(({ hole }) => hole));
    const holes = input.pattern.holes;
    const area = (some: typeof holes) => some.reduce((sum, h) => sum + light(h), 0);
    expect(unlit.length).toBeGreaterThan(100);
    const dark = holes.filter(({ id }) => !lit.has(id));
    const brightestDark = Math.max(...dark.map(light));
    for (const h of holes) if (light(h) > brightestDark) expect(lit.has(h.id)).toBe(true);
    expect(holes.filter((h) => h.diameterMm === 1.5).every((h) => lit.has(h.id))).toBe(true);
    // Of equal strands the brighter stars shine, and the port is used up.
    const thin = holes.filter((h) => h.diameterMm === 0.75);
    const faintestLit = Math.max(...thin.filter(({ id }) => lit.has(id)).map((h) => h.magnitude!));
    for (const h of thin) if (!lit.has(h.id)) expect(h.magnitude!).toBeGreaterThanOrEqual(faintestLit - 1e-9);
    expect(168.75 - area(holes.filter(({ id }) => lit.has(id)))).toBeLessThan(0.5625);
  });

  test("pictures and papers for the client hold what shines, and count it", () => {
    const input = room({
      bundles: { engines: [{ letter: "A", atMm: [1500, 1200], portDiameterMm: 15, capacity: 2000 }] },
      holes: sky(300),
    });
    const bundles = makeBundles(input, { solver: use });
    const plan = { ...input, pattern: { ...input.pattern, fidelity: {} } } as unknown as Planned;
    const shown = litPlan({ plan, bundles }).plan.pattern;
    expect(shown.holes.length).toBe(300 - bundles.unlit.length);
    expect(shown.fidelity.stars).toBe(shown.holes.length);
  });

  test("any shortage: nobody dark could be lit by the strands of fainter holes beside it at its engine", () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ d: fc.constantFrom(0.75, 1, 1.5), n: fc.integer({ min: 1, max: 4 }) }), { minLength: 1, maxLength: 40 }), // prettier-ignore
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 3, max: 12 }),
        (list, capacity, portDiameterMm) => {
          const holes = list.map(({ d, n }, i): HoleAt => ({
            ...at(i),
            magnitude: i / 10,
            diameterMm: d,
            strands: n,
          }));
          const input = room({ bundles: { engines: [{ letter: "A", atMm: [1500, 1200], portDiameterMm, capacity }] }, holes }); // prettier-ignore
          const { strands } = makeBundles(input, { solver: use });
          const lit = new Set(strands.map(({ hole }) => hole));
          const port = 0.75 * portDiameterMm ** 2;
          const brighter = [...input.pattern.holes].sort(
            (a, b) => light(b) - light(a) || a.magnitude! - b.magnitude!,
          );
          // The rule itself, by one engine's two limits: brightest first, whoever still fits.
          let [strandsLeft, portLeft] = [capacity, port];
          for (const h of brighter) {
            const fits = h.strands <= strandsLeft && light(h) <= portLeft + 1e-9;
            if (fits) {
              expect(lit.has(h.id), `hole of ${h.strands} x ${h.diameterMm}`).toBe(true);
              strandsLeft -= h.strands;
              portLeft -= light(h);
            }
          }
        },
      ),
      { numRuns: 40 },
    );
  });
});
