import { expect, test } from "vitest";
import { makeCamera, toScreen } from "../../src/scene/camera.ts";

/** Pixels; the field's tangent is rounded to 2^-30. */
const TOLERANCE_PX = 1e-5;

function expectAt(at: readonly [number, number] | null, x: number, y: number): void {
  expect(at).not.toBeNull();
  expect(Math.abs(at![0] - x)).toBeLessThan(TOLERANCE_PX);
  expect(Math.abs(at![1] - y)).toBeLessThan(TOLERANCE_PX);
}

test("straight up with 90 degrees: 1 m aside at 1 m above is the picture's edge, X mirrored", () => {
  const seat = { name: "", atMm: [2000, 1500] as [number, number], eyeMm: 1700, fieldDeg: 90 };
  const camera = makeCamera({ ...seat, lookAtMm: [2000, 1500] }, 2700, 1000, 600);
  expectAt(toScreen(camera, 2000, 1500, 2700), 500, 300);
  expectAt(toScreen(camera, 3000, 1500, 2700), 0, 300);
  expectAt(toScreen(camera, 1000, 1500, 2700), 1000, 300);
  // +Y of the plan is the top
  expectAt(toScreen(camera, 2000, 2100, 2700), 500, 0);
  // half as high above the eye, twice as far from the middle
  expectAt(toScreen(camera, 1750, 1500, 2200), 750, 300);
});

test("looking 45 degrees up along +Y: points by hand", () => {
  const camera = makeCamera(
    { name: "", atMm: [0, 0], eyeMm: 1000, lookAtMm: [0, 1500], fieldDeg: 90 },
    2500,
    1000,
    1000,
  );
  expectAt(toScreen(camera, 0, 1500, 2500), 500, 500);
  // straight overhead: 45 degrees above the middle, so at the top edge
  expectAt(toScreen(camera, 0, 0, 2500), 500, 0);
  // on the horizon: 45 degrees below, the bottom edge
  expectAt(toScreen(camera, 0, 3000, 1000), 500, 1000);
  // facing +Y, the plan's +X is to the right; at (1500, 1500) depth is 1500 sqrt 2, so 500 / sqrt 2 aside
  expectAt(toScreen(camera, 1500, 1500, 2500), 500 + 500 / Math.SQRT2, 500);
  // behind the back
  expect(toScreen(camera, 0, -3000, 1000)).toBeNull();
});

test("facing -X the plan's +Y is to the right", () => {
  const camera = makeCamera(
    { name: "", atMm: [4000, 2000], eyeMm: 1200, lookAtMm: [1000, 2000], fieldDeg: 80 },
    2700,
    800,
    600,
  );
  expect(toScreen(camera, 1000, 2500, 2700)![0]).toBeGreaterThan(400);
  expectAt(toScreen(camera, 1000, 2000, 2700), 400, 300);
});
