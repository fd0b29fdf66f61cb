import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { simplePolygonFault } from "../../src/geometry/simple.ts";
import { starShaped } from "./independent.ts";

const ring = (...points: [number, number][]) => points.map(([x, y]) => ({ x, y }));

describe("simplePolygonFault", () => {
  it.each([
    ["a bow tie", ring([0, 0], [10, 10], [10, 0], [0, 10]), "crossing", [0, 2]],
    ["a corner on another edge", ring([0, 0], [10, 0], [10, 10], [5, 0], [0, 10]), "crossing", [0, 2]],
    ["a corner met twice", ring([0, 0], [10, 0], [10, 10], [0, 0], [-10, 10]), "crossing", [0, 2]],
    ["a spike", ring([0, 0], [10, 0], [10, 10], [10, 5], [0, 5]), "crossing", [1, 2]],
    [
      "a spike at the closing corner",
      ring([5, 0], [10, 0], [10, 10], [0, 10], [0, 0], [20, 0]),
      "crossing",
      null,
    ],
    ["a point twice", ring([0, 0], [10, 0], [10, 0], [0, 10]), "repeated point", [1]],
    ["the first point repeated", ring([0, 0], [10, 0], [0, 10], [0, 0]), "repeated point", [3]],
    ["a line", ring([0, 0], [10, 10], [20, 20]), "zero area", []],
    ["two points", ring([0, 0], [10, 10]), "too few points", []],
  ] as const)("finds %s", (_, points, kind, edges) => {
    const fault = simplePolygonFault([...points]);
    expect(fault?.kind).toBe(kind);
    if (edges) expect(fault?.edges).toEqual([...edges]);
  });

  it("names edges and points as a person counts them", () => {
    expect(simplePolygonFault(ring([0, 0], [10, 10], [10, 0], [0, 10]))?.text).toBe(
      "edge 1-2 and edge 3-4 cross or touch",
    );
  });

  it("passes every star-shaped polygon either way round, and finds two corners swapped in it", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 5_000, max: 50_000 }), { minLength: 5, maxLength: 20 }),
        fc.nat(),
        (radii, pick) => {
          const points = starShaped({ x: 0, y: 0 }, radii);
          expect(simplePolygonFault(points)).toBeNull();
          expect(simplePolygonFault([...points].reverse())).toBeNull();
          const even = starShaped(
            { x: 0, y: 0 },
            radii.map(() => 30_000),
          ); // convex: any swap of neighbours crosses
          const i = pick % even.length;
          const j = (i + 1) % even.length;
          [even[i], even[j]] = [even[j]!, even[i]!];
          expect(simplePolygonFault(even)?.kind).toBe("crossing");
        },
      ),
      { seed: 2105, numRuns: 200 },
    );
  });
});
