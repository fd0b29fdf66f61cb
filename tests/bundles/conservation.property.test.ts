import fc from "fast-check";
import { expect, test } from "vitest";
import { makeBundles } from "../../src/bundles/bundles.ts";
import { room, solver, type HoleAt } from "./support.ts";

const DIAMETERS = [0.5, 0.75, 1, 1.5];

const anyRoom = fc.record({
  holes: fc.array(
    fc.record({
      column: fc.integer({ min: 0, max: 4 }),
      row: fc.integer({ min: 0, max: 3 }),
      x: fc.integer({ min: 20, max: 580 }),
      y: fc.integer({ min: 20, max: 580 }),
      diameterMm: fc.constantFrom(...DIAMETERS),
      magnitude: fc.integer({ min: -10, max: 60 }),
    }),
    { minLength: 1, maxLength: 120 },
  ),
  engines: fc.array(
    fc.record({
      atMm: fc.tuple(fc.integer({ min: -900, max: 3900 }), fc.integer({ min: -900, max: 3300 })),
      capacity: fc.integer({ min: 1, max: 80 }),
      portDiameterMm: fc.integer({ min: 2, max: 30 }),
      reachM: fc.integer({ min: 2, max: 10 }),
      kit: fc.option(
        fc.array(fc.record({ diameterMm: fc.constantFrom(...DIAMETERS), count: fc.integer({ min: 0, max: 40 }), lengthM: fc.integer({ min: 2, max: 9 }) }), { minLength: 1, maxLength: 6 }), // prettier-ignore
        { nil: undefined },
      ),
    }),
    { minLength: 1, maxLength: 4 },
  ),
  duct: fc.option(fc.tuple(fc.integer({ min: 0, max: 2400 }), fc.integer({ min: 0, max: 1900 })), {
    nil: undefined,
  }),
  mode: fc.constantFrom("least-length" as const, "equal-parts" as const),
  kind: fc.constantFrom("none" as const, "wheel" as const, "channels" as const),
});

test("every hole has one strand of one engine or a reason; no limit is passed; sums agree (seed 99)", () => {
  let dark = 0;
  fc.assert(
    fc.property(anyRoom, (r) => {
      const holes = r.holes.map(({ column, row, x, y, diameterMm, magnitude }): HoleAt => ({ xMm: column * 600 + x, yMm: row * 600 + y, diameterMm, magnitude: magnitude / 10 })); // prettier-ignore
      const letter = (e: number) => "ABCD"[e]!;
      const input = room({
        bundles: {
          engines: r.engines.map(({ atMm, capacity, portDiameterMm, reachM }, e) => ({ letter: letter(e), atMm, capacity, portDiameterMm, reachM })), // prettier-ignore
          kits: r.engines.flatMap(({ kit }, e) => (kit ? [{ engine: letter(e), strands: kit }] : [])),
          obstacles: r.duct ? [{ polygonMm: [[r.duct[0], r.duct[1]], [r.duct[0] + 600, r.duct[1]], [r.duct[0] + 600, r.duct[1] + 500], [r.duct[0], r.duct[1] + 500]] }] : [], // prettier-ignore
          mode: r.mode,
          twinkle: { kind: r.kind },
        },
        holes,
      });
      const { strands, unlit, tails, engines, faults } = makeBundles(input, { solver });
      const ids = [...strands.map(({ hole }) => hole), ...unlit.map(({ hole }) => hole)].sort(
        (a, b) => a - b,
      );
      expect(ids).toEqual(input.pattern.holes.map(({ id }) => id));
      if (unlit.length > 0) expect(faults.length).toBeGreaterThan(0);
      dark += unlit.length;

      const byId = new Map(input.pattern.holes.map((hole) => [hole.id, hole]));
      for (const s of strands) {
        expect(s.diameterMm).toBe(byId.get(s.hole)!.diameterMm);
        expect(s.tile).toBe(byId.get(s.hole)!.tile);
        expect(s.lengthM).toBeGreaterThanOrEqual(s.needM);
      }
      expect(tails.reduce((sum, { lots }) => sum + lots.reduce((n, { count }) => n + count, 0), 0)).toBe(
        strands.length,
      );
      expect(engines.reduce((sum, e) => sum + e.strands, 0)).toBe(strands.length);

      engines.forEach((use, e) => {
        const spec = r.engines[e]!;
        const own = strands.filter(({ engine }) => engine === use.letter);
        expect(use.strands).toBe(own.length);
        expect(own.length).toBeLessThanOrEqual(spec.capacity);
        const ends = own.reduce((sum, { diameterMm }) => sum + diameterMm ** 2, 0);
        expect(ends).toBeLessThanOrEqual(0.75 * spec.portDiameterMm ** 2 + 1e-9);
        for (const s of own) expect(s.lengthM).toBeLessThanOrEqual(spec.reachM);
        if (!spec.kit) return;
        for (const diameterMm of DIAMETERS)
          for (let lengthM = 2; lengthM <= 9; lengthM++) {
            const used = own.filter((s) => s.diameterMm === diameterMm && s.lengthM === lengthM).length;
            const has = spec.kit.filter((k) => k.diameterMm === diameterMm && k.lengthM === lengthM).reduce((n, k) => n + k.count, 0); // prettier-ignore
            expect(used).toBeLessThanOrEqual(has);
          }
      });
    }),
    { seed: 99, numRuns: 80 },
  );
  expect(dark).toBeGreaterThan(0);
}, 120_000);
