import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { draggedView, sweptDeg } from "../../../src/app/parts/night/sky/dragSky.ts";
import { eveningOf, wishOf } from "../../../src/app/parts/night/wish/wish.ts";
import type { View } from "../../../src/job/sections/sky.ts";
import { makeProjection, toDirection, toPlan } from "../../../src/sky/projection.ts";
import { demoJob } from "../demoJob.ts";

const BOX = { minX: 0, minY: 0, maxX: 5_334_000, maxY: 4_064_000 };
/** How far from the finger a dragged star may end up, in mm on the ceiling. */
const UNDER_FINGER_MM = 1e-3;

const view = fc.record({
  azimuthDeg: fc.double({ min: 0, max: 359.9, noNaN: true }),
  altitudeDeg: fc.double({ min: 20, max: 90, noNaN: true }),
  turnDeg: fc.double({ min: 0, max: 359.9, noNaN: true }),
});
const spot = fc.tuple(
  fc.double({ min: 0, max: 5334, noNaN: true }),
  fc.double({ min: 0, max: 4064, noNaN: true }),
) as fc.Arbitrary<[number, number]>;

describe("dragging the sky", () => {
  // The check runs through the core's own projection of the view found, not through the formula that found it.
  test("the star taken hold of stays under the finger, whatever the view, turn and bearing", () => {
    let carried = 0;
    fc.assert(
      fc.property(view, fc.double({ min: 0, max: 359, noNaN: true }), spot, spot, (from, bearing, at, to) => {
        const before = makeProjection(from, { halfAngleDeg: 62 }, bearing, BOX);
        const found = draggedView(before, from, at, to);
        if (found === null) return;
        carried++;
        const star = toDirection(before, at[0] * 1000, at[1] * 1000);
        const landed = toPlan(makeProjection(found, { halfAngleDeg: 62 }, bearing, BOX), ...star)!;
        expect(Math.hypot(landed.xUm / 1000 - to[0], landed.yUm / 1000 - to[1])).toBeLessThan(
          UNDER_FINGER_MM,
        );
        expect(found.turnDeg).toBe(from.turnDeg);
      }),
      { seed: 20290908, numRuns: 500 },
    );
    expect(carried).toBeGreaterThan(300);
  });

  test("by hand: from the zenith, with north up, pulling the sky south puts the north in the middle", () => {
    const zenith: View = { azimuthDeg: 0, altitudeDeg: 90, turnDeg: 0 };
    const projection = makeProjection(zenith, { halfAngleDeg: 60, radiusMm: 1000, anchorMm: [0, 0] }, 0, BOX);
    // A star 30 degrees from the zenith lies at tan 15 / tan 30 of the rim (Snyder 21-1 with R k0 = 1/2).
    const north = (1000 * Math.tan(Math.PI / 12)) / Math.tan(Math.PI / 6);
    const found = draggedView(projection, zenith, [0, north], [0, 0])!;
    expect(found.azimuthDeg % 360).toBeCloseTo(0, 9);
    expect(found.altitudeDeg).toBeCloseTo(60, 9);
    const east = draggedView(projection, zenith, [north, 0], [0, 0])!;
    expect(east.azimuthDeg).toBeCloseTo(90, 9);
  });

  test("nothing moved, nothing found", () => {
    const zenith: View = { azimuthDeg: 0, altitudeDeg: 90, turnDeg: 0 };
    const projection = makeProjection(zenith, { halfAngleDeg: 60 }, 0, BOX);
    expect(draggedView(projection, zenith, [1000, 1000], [1000, 1000])).toBeNull();
  });

  test("the swept angle runs clockwise on the plan", () => {
    expect(sweptDeg([0, 0], [0, 10], [10, 0])).toBeCloseTo(90, 9);
    expect(sweptDeg([0, 0], [10, 0], [0, 10])).toBeCloseTo(-90, 9);
  });
});

describe("a wish as filled in", () => {
  const job = demoJob();
  const night = job.sky.options[0]!;
  const form = {
    date: "",
    from: "20:00",
    to: "01:30",
    figures: ["Ori"],
    bodies: [],
    over: { Ori: 0, Tau: 1 },
    mostTurnedDeg: 15,
    milkyWay: false,
    wall: 99,
    dark: true,
  };

  test("hours before noon are of the next morning, the evening that of the night", () => {
    expect(eveningOf({ moment: { local: "2029-01-01T00:30", zone: "UTC" } })).toBe("2028-12-31");
    const wish = wishOf(form, job, night);
    expect(wish.fromLocal).toBe("2029-09-08T20:00");
    expect(wish.toLocal).toBe("2029-09-09T01:30");
    expect(wish).not.toHaveProperty("milkyWayAlongWall");
    expect(wish.overWalls).toEqual({ Ori: 0 });
    expect(wish.mostTurnedDeg).toBe(15);
    expect(wishOf({ ...form, wall: 0 }, job, night).milkyWayAlongWall).toBe(0);
  });
});
