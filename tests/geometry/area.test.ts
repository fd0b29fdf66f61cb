import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  ARC_TOLERANCE_UM,
  areaMm2,
  areaOf,
  boxArea,
  boxOf,
  circleArea,
  containsPoint,
  grow,
  intersect,
  pieces,
  ROUNDING_UM,
  shrink,
  shrinkBox,
  subtract,
  unite,
} from "../../src/geometry/area.ts";
import type { Area } from "../../src/geometry/types.ts";
import { distanceToLine, distanceToPolygon, starShaped, windsRound, type P } from "./independent.ts";

const square = (size: number, x = 0, y = 0): Area =>
  boxArea({ minX: x, minY: y, maxX: x + size, maxY: y + size });

const polygon = fc
  .record({
    x: fc.integer({ min: 20_000, max: 80_000 }),
    y: fc.integer({ min: 20_000, max: 80_000 }),
    radii: fc.array(fc.integer({ min: 8_000, max: 60_000 }), { minLength: 3, maxLength: 12 }),
  })
  .map(({ x, y, radii }) => starShaped({ x, y }, radii));
const point = fc.record({
  x: fc.integer({ min: -70_000, max: 170_000 }),
  y: fc.integer({ min: -70_000, max: 170_000 }),
});
const points = fc.array(point, { minLength: 40, maxLength: 40 });

/** Points so near a boundary that rounding may decide. */
const clearOf = (rings: P[][], p: P) => rings.every((ring) => distanceToLine(ring, p) > ROUNDING_UM);

describe("cutting areas, against sampling by winding number", () => {
  it("holds point by point for random polygons", () => {
    fc.assert(
      fc.property(polygon, polygon, points, (p, q, samples) => {
        const both = intersect(areaOf(p), areaOf(q));
        const less = subtract(areaOf(p), areaOf(q));
        const any = unite([areaOf(p), areaOf(q)]);
        for (const s of samples.filter((s) => clearOf([p, q], s))) {
          const [inP, inQ] = [windsRound(p, s), windsRound(q, s)];
          expect(containsPoint(both, s.x, s.y)).toBe(inP && inQ);
          expect(containsPoint(less, s.x, s.y)).toBe(inP && !inQ);
          expect(containsPoint(any, s.x, s.y)).toBe(inP || inQ);
        }
        // Inclusion and exclusion; rounding moves an edge by at most 2 um along some 500 mm of edge.
        expect(areaMm2(both) + areaMm2(less)).toBeCloseTo(areaMm2(areaOf(p)), -1);
        expect(areaMm2(any) + areaMm2(both)).toBeCloseTo(areaMm2(areaOf(p)) + areaMm2(areaOf(q)), -1);
      }),
      { seed: 2101, numRuns: 150 },
    );
  });

  it("gives a room with a column cut out as an outer ring and a clockwise hole", () => {
    const room = subtract(square(10_000), square(2_000, 4_000, 4_000));
    expect(room).toHaveLength(2);
    expect(areaMm2(room)).toBe(96);
    expect(containsPoint(room, 5_000, 5_000)).toBe(false);
    expect(containsPoint(room, 4_000, 5_000)).toBe(true); // its edge
    expect(containsPoint(room, 3_999, 5_000)).toBe(true);
  });

  it("refuses coordinates that aren't whole micrometres in range", () => {
    const odd: Area = [
      [
        { x: 0, y: 0 },
        { x: 10.5, y: 0 },
        { x: 0, y: 10 },
      ],
    ];
    expect(() => subtract(odd, square(5))).toThrow(/whole micrometres/);
    const lost: Area = [
      [
        { x: 0, y: 0 },
        { x: NaN, y: 0 },
        { x: 0, y: 10 },
      ],
    ];
    expect(() => unite([lost])).toThrow(RangeError);
    expect(() => intersect(square(1e12), odd)).toThrow(RangeError);
  });

  it("knows the empty area", () => {
    expect(intersect([], square(10))).toEqual([]);
    expect(intersect(square(10), square(10, 50, 50))).toEqual([]);
    expect(subtract(square(10), [])).toEqual(square(10));
    expect(subtract(square(10), square(30, -10, -10))).toEqual([]);
    expect(unite([])).toEqual([]);
    expect(areaMm2([])).toBe(0);
    expect(boxOf([]).minX).toBeGreaterThan(boxOf([]).maxX);
  });
});

describe("growing and shrinking, against distances worked out apart", () => {
  const by = fc.integer({ min: 1, max: 30_000 });

  it("grown, holds everything within the distance and nothing much farther", () => {
    fc.assert(
      fc.property(polygon, by, points, (p, d, samples) => {
        const grown = grow(areaOf(p), d);
        for (const s of samples) {
          const far = distanceToPolygon(p, s);
          if (far <= d - ROUNDING_UM) expect(containsPoint(grown, s.x, s.y)).toBe(true);
          if (far > d + ARC_TOLERANCE_UM + ROUNDING_UM) expect(containsPoint(grown, s.x, s.y)).toBe(false);
        }
      }),
      { seed: 2102, numRuns: 150 },
    );
  });

  it("shrunk, holds nothing nearer than the distance and almost all that's farther", () => {
    fc.assert(
      fc.property(polygon, by, points, (p, d, samples) => {
        const shrunk = shrink(areaOf(p), d);
        for (const s of samples) {
          const deep = windsRound(p, s) ? distanceToLine(p, s) : -1;
          if (deep < d - ROUNDING_UM) expect(containsPoint(shrunk, s.x, s.y)).toBe(false);
          if (deep > d + ARC_TOLERANCE_UM + ROUNDING_UM) expect(containsPoint(shrunk, s.x, s.y)).toBe(true);
        }
      }),
      { seed: 2103, numRuns: 150 },
    );
  });

  it("grows a square by Steiner's formula: area + perimeter x d + pi d2", () => {
    const [side, d] = [100_000, 20_000];
    const exact = (side * side + 4 * side * d + Math.PI * d * d) / 1e6;
    const grown = areaMm2(grow(square(side), d));
    expect(grown).toBeGreaterThanOrEqual(exact);
    expect(grown - exact).toBeLessThan((ARC_TOLERANCE_UM * 2 * Math.PI * d) / 1e6);
    expect(boxOf(grow(square(side), d))).toEqual({ minX: -d, minY: -d, maxX: side + d, maxY: side + d });
  });

  it("shrinks a 3-4-5 triangle to the similar one about its incircle", () => {
    const triangle: Area = [
      [
        { x: 0, y: 0 },
        { x: 40_000, y: 0 },
        { x: 0, y: 30_000 },
      ],
    ];
    // Inradius 10 mm: 4 mm inside, sides are 6/10 as long. Only the slanted one, 30 mm long, may give way.
    const inner = areaMm2(shrink(triangle, 4_000));
    expect(inner).toBeLessThanOrEqual(600 * 0.36);
    expect(inner).toBeGreaterThan(600 * 0.36 - (30 * ARC_TOLERANCE_UM) / 1000);
    expect(shrink(triangle, 10_001)).toEqual([]);
  });

  it("is exact for upright rectangles and lets a room fall in two at a bottleneck", () => {
    expect(shrink(square(100_000), 17_000)).toEqual(square(66_000, 17_000, 17_000));
    expect(shrink(square(10), 5)).toEqual([]);
    expect(shrinkBox(square(100_000), 3_175, 2_500)).toEqual(
      boxArea({ minX: 3_175, minY: 2_500, maxX: 96_825, maxY: 97_500 }),
    );
    const dumbbell = unite([
      square(50_000),
      square(50_000, 90_000),
      boxArea({ minX: 40_000, minY: 20_000, maxX: 100_000, maxY: 26_000 }),
    ]);
    const two = pieces(shrink(dumbbell, 4_000));
    expect(two).toHaveLength(2);
    expect(boxOf(two[0]!).minX).toBe(4_000);
    expect(boxOf(two[1]!).maxX).toBe(136_000);
  });

  it("leaves the area as it is at 0 and refuses less", () => {
    expect(grow(square(10), 0)).toEqual(square(10));
    expect(() => grow(square(10), -1)).toThrow(RangeError);
    expect(() => shrink(square(10), -1)).toThrow(RangeError);
    expect(() => shrinkBox(square(10), -1, 0)).toThrow(RangeError);
  });
});

describe("circles", () => {
  it("never cut into the true circle and reach at most the tolerance beyond", () => {
    for (const radius of [1, 7, 500, 12_345, 40_000, 90_000, 457_200, 5_000_000, 60_000_000]) {
      const [ring] = circleArea({ x: 1_000_000, y: -2_000_000 }, radius);
      const corners = ring!.map(({ x, y }) => ({ x: x - 1_000_000, y: y + 2_000_000 }));
      corners.forEach((a, i) => {
        const b = corners[(i + 1) % corners.length]!;
        // Distance of the side's line from the middle: 2 x triangle area / side length.
        const reach = (a.x * b.y - a.y * b.x) / Math.hypot(b.x - a.x, b.y - a.y);
        expect(reach).toBeGreaterThanOrEqual(radius - 1e-5);
        expect(Math.hypot(a.x, a.y)).toBeLessThanOrEqual(radius + ARC_TOLERANCE_UM + 1.5);
      });
      const excess = areaMm2([ring!]) - (Math.PI * radius * radius) / 1e6;
      expect(excess).toBeGreaterThan(0);
    }
  });

  it("have a radius", () => {
    expect(() => circleArea({ x: 0, y: 0 }, 0)).toThrow(RangeError);
    expect(() => circleArea({ x: 0, y: 0 }, NaN)).toThrow(RangeError);
  });
});
