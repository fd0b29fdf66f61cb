import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  areaMm2,
  boxArea,
  boxesTouch,
  boxOverlap,
  circleArea,
  containsPoint,
  distanceToRing,
  isBox,
  nearestOnBoundary,
  prepareArea,
  signedAreaUm2,
  subtract,
} from "../../src/geometry/area.ts";
import { toUm } from "../../src/geometry/um.ts";
import { distanceToLine, starShaped, trapezoidArea, windsRound } from "./independent.ts";

const radii = fc.array(fc.integer({ min: 2_000, max: 60_000 }), { minLength: 3, maxLength: 40 });
const at = fc.record({
  x: fc.integer({ min: -70_000, max: 70_000 }),
  y: fc.integer({ min: -70_000, max: 70_000 }),
});

describe("measuring areas", () => {
  it("agrees with areas, containment and distances worked out apart", () => {
    fc.assert(
      fc.property(radii, fc.array(at, { minLength: 20, maxLength: 20 }), (r, samples) => {
        const ring = starShaped({ x: 0, y: 0 }, r);
        expect(Math.abs(signedAreaUm2(ring))).toBeCloseTo(trapezoidArea(ring), 0);
        const prepared = prepareArea([ring]);
        for (const p of samples) {
          const distance = distanceToLine(ring, p);
          expect(distanceToRing(ring, p.x, p.y)).toBeCloseTo(distance, 4);
          expect(prepared.contains(p.x, p.y)).toBe(containsPoint([ring], p.x, p.y));
          if (distance > 0.01) expect(containsPoint([ring], p.x, p.y)).toBe(windsRound(ring, p));
        }
      }),
      { seed: 2104, numRuns: 200 },
    );
  });

  it("counts every point of the boundary as inside, exactly", () => {
    // Edges of slope 1/3, -2 ... with whole points on them.
    const ring = [
      { x: 0, y: 0 },
      { x: 30, y: 10 },
      { x: 20, y: 30 },
      { x: 0, y: 30 },
      { x: 0, y: 20 },
      { x: -10, y: 10 },
    ];
    for (const [x, y] of [
      [0, 0],
      [3, 1],
      [27, 9],
      [30, 10],
      [25, 20],
      [10, 30],
      [0, 25],
      [-5, 15],
      [-10, 10],
      [-5, 5],
    ] as const) {
      expect(containsPoint([ring], x, y)).toBe(true);
      expect(prepareArea([ring]).contains(x, y)).toBe(true);
    }
    for (const [x, y] of [
      [4, 1],
      [31, 10],
      [26, 20],
      [10, 31],
      [-1, 25],
      [-6, 15],
      [-11, 10],
      [-6, 5],
      [1, 0],
    ] as const) {
      expect(containsPoint([ring], x, y)).toBe(false);
      expect(prepareArea([ring]).contains(x, y)).toBe(false);
    }
  });

  it("stays exact 60 m away: one micrometre decides", () => {
    const far = 60_000_000;
    const ring = [
      { x: 0, y: 0 },
      { x: far, y: far - 1 },
      { x: 0, y: far },
    ];
    // The line y = x (far-1)/far lies between y = x - 1 and y = x for every whole x inside.
    for (const x of [1, 12_345_678, 59_999_999]) {
      expect(containsPoint([ring], x, x)).toBe(true);
      expect(containsPoint([ring], x, x - 1)).toBe(false);
    }
  });

  it("answers the prepared question alike for an area with holes", () => {
    const area = subtract(
      boxArea({ minX: 0, minY: 0, maxX: 100_000, maxY: 80_000 }),
      circleArea({ x: 50_000, y: 40_000 }, 20_000),
    );
    const prepared = prepareArea(area);
    for (let x = -1000; x <= 101_000; x += 1000)
      for (let y = -1000; y <= 81_000; y += 1000)
        expect(prepared.contains(x, y)).toBe(containsPoint(area, x, y));
    expect(prepareArea([]).contains(0, 0)).toBe(false);
  });

  it("finds the nearest point of a boundary", () => {
    const square = boxArea({ minX: 0, minY: 0, maxX: 100, maxY: 100 });
    expect(nearestOnBoundary(square, 30, 50)).toEqual({ point: { x: 0, y: 50 }, distance2: 900 });
    expect(nearestOnBoundary(square, 140, 130)).toEqual({ point: { x: 100, y: 100 }, distance2: 2500 });
    expect(nearestOnBoundary([], 0, 0)).toBeNull();
  });

  it("knows boxes", () => {
    const box = { minX: 0, minY: 0, maxX: 10, maxY: 10 };
    expect(boxesTouch(box, { minX: 10, minY: 10, maxX: 20, maxY: 20 })).toBe(true);
    expect(boxesTouch(box, { minX: 11, minY: 0, maxX: 20, maxY: 20 })).toBe(false);
    expect(boxArea(boxOverlap(box, { minX: 10, minY: 0, maxX: 20, maxY: 20 }))).toEqual([]);
    expect(isBox(boxArea(box))).toBe(true);
    expect(
      isBox([
        [
          { x: 0, y: 0 },
          { x: 10, y: 0 },
          { x: 10, y: 10 },
          { x: 0, y: 9 },
        ],
      ]),
    ).toBe(false);
    expect(
      isBox([
        [
          { x: 0, y: 0 },
          { x: 10, y: 10 },
          { x: 10, y: 0 },
          { x: 0, y: 10 },
        ],
      ]),
    ).toBe(false);
    expect(areaMm2(boxArea({ minX: 0, minY: 0, maxX: 603_250, maxY: 603_250 }))).toBeCloseTo(363910.5625, 6);
  });

  it("puts millimetres on whole micrometres and refuses what isn't a length", () => {
    expect(toUm(609.6)).toBe(609_600);
    expect(toUm(603.25)).toBe(603_250);
    expect(Object.is(toUm(-0.0001), 0)).toBe(true);
    expect(() => toUm(NaN)).toThrow(RangeError);
    expect(() => toUm(Infinity)).toThrow(RangeError);
  });
});
