import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { outlineFromTape } from "../../../src/app/parts/survey/commands/tape.ts";

describe("the tape round the room", () => {
  test("an L of square corners closes exactly", () => {
    const lengths = [5334, 2540, 1219.2, 1524, 4114.8, 4064];
    const turns = [90, 90, -90, 90, 90, 90];
    const taped = outlineFromTape(lengths.map((lengthMm, i) => ({ lengthMm, turnLeftDeg: turns[i]! })));
    expect(taped.gapMm).toBe(0);
    expect(taped.outlineMm).toEqual([
      [0, 0],
      [5334, 0],
      [5334, 2540],
      [4114.8, 2540],
      [4114.8, 4064],
      [0, 4064],
    ]);
  });

  test("the compass rule, worked by hand: 12 mm too long on the first of four walls", () => {
    // Way round 14,012 mm; the miss of (+12, 0) is taken back in proportion to the way so far.
    const taped = outlineFromTape(
      [4012, 3000, 4000, 3000].map((lengthMm) => ({ lengthMm, turnLeftDeg: 90 })),
    );
    expect(taped.gapMm).toBeCloseTo(12, 9);
    const share = (way: number): number => (12 * way) / 14012;
    const expected: [number, number][] = [
      [0, 0],
      [4012 - share(4012), 0],
      [4012 - share(7012), 3000],
      [12 - share(11012), 3000],
    ];
    taped.outlineMm.forEach(([x, y], i) => {
      expect(x).toBeCloseTo(expected[i]![0], 3);
      expect(y).toBeCloseTo(expected[i]![1], 3);
    });
    expect(taped.gapShare).toBeCloseTo(12 / 14012, 12);
  });

  test("no wall is bent by more than the miss", () => {
    const leg = fc.record({ lengthMm: fc.integer({ min: 200, max: 9000 }), turnLeftDeg: fc.constant(90) });
    fc.assert(
      fc.property(fc.tuple(leg, leg, leg, leg), (legs) => {
        const { outlineMm, gapMm } = outlineFromTape(legs);
        outlineMm.forEach(([x, y], i) => {
          const [nx, ny] = outlineMm[(i + 1) % outlineMm.length]!;
          expect(Math.abs(Math.hypot(nx - x, ny - y) - legs[i]!.lengthMm)).toBeLessThanOrEqual(gapMm + 0.01);
        });
      }),
    );
  });
});
