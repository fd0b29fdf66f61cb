import { geoStereographicRaw, geoRotation } from "d3-geo";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { horizontalDirection, type Vector } from "../../src/sky/linear.ts";
import {
  degPerMmAt,
  makeProjection,
  stereographic,
  stereographicInverse,
  toDirection,
  toPlan,
} from "../../src/sky/projection.ts";
import { aBox, separationArcsec } from "./support.ts";

const view = (azimuthDeg = 0, altitudeDeg = 90, turnDeg = 0) => ({ azimuthDeg, altitudeDeg, turnDeg });
const field = (halfAngleDeg = 60, radiusMm = 3048) => ({
  halfAngleDeg,
  radiusMm,
  anchorMm: [0, 0] as [number, number],
});
const planMm = (projection: ReturnType<typeof makeProjection>, direction: Vector) => {
  const at = toPlan(projection, ...direction)!;
  return [at.xUm / 1000, at.yUm / 1000] as const;
};

describe("the formula", () => {
  it("is Snyder's: centre 40 N 100 W, point 30 N 75 W on the unit sphere", () => {
    // Source: Snyder, USGS Professional Paper 1395, eq. 21-2 to 21-4, stereographic on the sphere, R = k0 = 1;
    // the numerical example's x 0.3807224, y -0.1263802, k 1.0402304 from memory, derived below as well.
    const r = Math.PI / 180;
    const [phi1, phi, dLon] = [40 * r, 30 * r, 25 * r];
    const k = 2 / (1 + Math.sin(phi1) * Math.sin(phi) + Math.cos(phi1) * Math.cos(phi) * Math.cos(dLon));
    const x = k * Math.cos(phi) * Math.sin(dLon);
    const y = k * (Math.cos(phi1) * Math.sin(phi) - Math.sin(phi1) * Math.cos(phi) * Math.cos(dLon));
    expect([x, y, k].map((n) => n.toFixed(7))).toEqual(["0.3807224", "-0.1263802", "1.0402304"]);

    // The same through our pieces: a view to that centre, longitude mirrored into azimuth. Upwards in
    // Snyder's map is towards the pole, which the smallest rotation lays opposite the view's azimuth.
    const projection = makeProjection(
      view(0, 40),
      { halfAngleDeg: 90, radiusMm: 2, anchorMm: [0, 0] },
      0,
      aBox,
    );
    const [px, py] = planMm(projection, horizontalDirection(-25, 30));
    expect(-px).toBeCloseTo(x, 12);
    expect(-py).toBeCloseTo(y, 12);
    const scale = (180 / Math.PI) * (1 / degPerMmAt(projection, px * 1000, py * 1000));
    expect(scale).toBeCloseTo(k, 12);
  });

  it("inverts itself, and gives null near the antipode, never NaN", () => {
    stereographicInverse(...stereographic(0.48, -0.6, 0.64)!).forEach((value, i) => {
      expect(value).toBeCloseTo([0.48, -0.6, 0.64][i]!, 14);
    });
    expect(stereographic(0, 0, -1)).toBeNull();
    expect(stereographic(1e-3, 0, -Math.sqrt(1 - 1e-6))).toBeNull();
  });
});

describe("the zenith view", () => {
  const projection = makeProjection(view(), field(), 0, aBox);

  it("puts a star in the east at +X and one in the north at +Y: the plan is seen from above", () => {
    const [eastX, eastY] = planMm(projection, horizontalDirection(90, 45));
    const [northX, northY] = planMm(projection, horizontalDirection(0, 45));
    expect(eastX).toBeGreaterThan(1000);
    expect(eastY).toBeCloseTo(0, 9);
    expect(northX).toBeCloseTo(0, 9);
    expect(northY).toBeGreaterThan(1000);
  });

  it("keeps an unsymmetrical group the right way round", () => {
    // Clockwise on the plan from north through east: azimuths 10, 40, 130 must turn clockwise.
    const [a, b, c] = [10, 40, 130].map((az) => planMm(projection, horizontalDirection(az, 50)));
    const twiceArea = (b![0] - a![0]) * (c![1] - a![1]) - (b![1] - a![1]) * (c![0] - a![0]);
    expect(twiceArea).toBeLessThan(0);
  });

  it("puts the half angle at the radius, and 45 degrees where a hand can compute it", () => {
    expect(planMm(projection, horizontalDirection(90, 30))[0]).toBeCloseTo(3048, 9);
    expect(planMm(projection, horizontalDirection(90, 45))[0]).toBeCloseTo(
      (3048 * (Math.SQRT2 - 1)) / Math.tan(Math.PI / 6),
      9,
    );
  });

  it("turns with the bearing of +Y and, clockwise, with turnDeg", () => {
    const bearing = makeProjection(view(), field(), 29, aBox);
    expect(planMm(bearing, horizontalDirection(29, 30))[0]).toBeCloseTo(0, 9);
    expect(planMm(bearing, horizontalDirection(29, 30))[1]).toBeCloseTo(3048, 9);
    const turned = makeProjection(view(0, 90, 90), field(), 0, aBox);
    expect(planMm(turned, horizontalDirection(0, 30))[0]).toBeCloseTo(3048, 9);
  });

  it("has its anchor and radius from the box where the job gives none", () => {
    const { anchorMm, radiusMm } = makeProjection(view(), { halfAngleDeg: 60 }, 0, aBox);
    expect(anchorMm).toEqual([2438.4, 1828.8]);
    // 16 by 12 feet: the diagonal is 20 feet.
    expect(radiusMm).toBeCloseTo(3048, 9);
  });
});

describe("other views", () => {
  it("agree with d3-geo's stereographic", () => {
    // Source: d3-geo (npm), live: its sphere is seen from outside with longitude to the right, so azimuth is
    // minus longitude; its picture has the zenith upwards, ours at azimuth + 180 from the view centre.
    for (const [azimuth, altitude, bearing, turn] of [
      [0, 90, 0, 0],
      [135, 40, 29, 0],
      [300, 10, -75, 20],
      [77, -35, 200, -140],
      [180, 0, 0, 0],
    ] as const) {
      const projection = makeProjection(view(azimuth, altitude, turn), field(90, 1), bearing, aBox);
      const rotate = geoRotation([azimuth, -altitude, 0]);
      const clockwise = ((azimuth + 180 - bearing + turn) * Math.PI) / 180;
      for (let az = 3; az < 360; az += 17) {
        for (const alt of [-60, -10, 1, 33, 71, 89.5]) {
          const [lon, lat] = rotate([-az, alt]).map((deg) => (deg * Math.PI) / 180) as [number, number];
          const [dx, dy] = geoStereographicRaw(lon, lat);
          const [x, y] = planMm(projection, horizontalDirection(az, alt));
          expect(x).toBeCloseTo(dx * Math.cos(clockwise) + dy * Math.sin(clockwise), 9);
          expect(y).toBeCloseTo(-dx * Math.sin(clockwise) + dy * Math.cos(clockwise), 9);
        }
      }
    }
  });

  it("slides, never spins, as the view nears the zenith", () => {
    const star = horizontalDirection(200, 60);
    for (const azimuth of [0, 90, 180, 270]) {
      const near = planMm(makeProjection(view(azimuth, 89.999), field(), 29, aBox), star);
      const zenith = planMm(makeProjection(view(), field(), 29, aBox), star);
      expect(Math.hypot(near[0] - zenith[0], near[1] - zenith[1])).toBeLessThan(0.1);
    }
  });
});

describe("sky to plan and back", () => {
  const projections = fc
    .tuple(
      fc.double({ min: -360, max: 360, noNaN: true }),
      fc.oneof(fc.double({ min: -90, max: 90, noNaN: true }), fc.constantFrom(90, -90, 0)),
      fc.double({ min: -360, max: 360, noNaN: true }),
      fc.double({ min: 1, max: 170, noNaN: true }),
      fc.double({ min: -360, max: 360, noNaN: true }),
      fc.double({ min: 10, max: 60_000, noNaN: true }),
    )
    .map(([azimuth, altitude, turn, half, bearing, radius]) =>
      makeProjection(view(azimuth, altitude, turn), field(half, radius), bearing, aBox),
    );
  const special: Vector[] = [
    horizontalDirection(0, 90),
    horizontalDirection(0, -90),
    ...[0, 90, 180, 270, 359.9999999, 360].map((az) => horizontalDirection(az, 0)),
    ...[0, 1e-9, 360].map((az) => horizontalDirection(az, 48.2)),
  ];
  const directions = fc.oneof(
    fc.constantFrom(...special),
    fc
      .tuple(fc.double({ min: 0, max: 360, noNaN: true }), fc.double({ min: -90, max: 90, noNaN: true }))
      .map(([az, alt]) => horizontalDirection(az, alt)),
  );

  it("comes back to the same direction, or is cut off near the antipode", () => {
    fc.assert(
      fc.property(projections, directions, (projection, direction) => {
        const at = toPlan(projection, ...direction);
        const centre = toDirection(projection, 0, 0);
        const fromCentre = separationArcsec(centre, direction) / 3600;
        if (at === null) {
          expect(fromCentre).toBeGreaterThan(179.7);
          return;
        }
        expect(Number.isFinite(at.xUm) && Number.isFinite(at.yUm)).toBe(true);
        expect(separationArcsec(toDirection(projection, at.xUm, at.yUm), direction)).toBeLessThan(1e-4);
      }),
      { numRuns: 2000, seed: 1395 },
    );
  });

  it("comes back to the same point of the plan", () => {
    const points = fc.tuple(fc.integer({ min: -6e7, max: 6e7 }), fc.integer({ min: -6e7, max: 6e7 }));
    fc.assert(
      fc.property(projections, points, (projection, [xUm, yUm]) => {
        const at = toPlan(projection, ...toDirection(projection, xUm, yUm));
        fc.pre(at !== null);
        // Far out a nanoradian is a metre; within 120 degrees of the centre a micrometre holds.
        const reach = Math.hypot(xUm, yUm) * degPerMmAt(projection, xUm, yUm);
        fc.pre(reach < 1e9 && degPerMmAt(projection, xUm, yUm) * 4 > degPerMmAt(projection, 0, 0));
        expect(Math.abs(at!.xUm - xUm)).toBeLessThan(0.5);
        expect(Math.abs(at!.yUm - yUm)).toBeLessThan(0.5);
      }),
      { numRuns: 1000, seed: 21 },
    );
  });

  it("has a scale that matches a small step of sky", () => {
    const projection = makeProjection(view(120, 55, 10), field(70, 2500), 29, aBox);
    const [a, b] = [horizontalDirection(140, 40), horizontalDirection(140.01, 40.01)];
    const [pa, pb] = [planMm(projection, a), planMm(projection, b)];
    const degrees = separationArcsec(a, b) / 3600;
    const mm = Math.hypot(pa[0] - pb[0], pa[1] - pb[1]);
    expect(degrees / mm / degPerMmAt(projection, pa[0] * 1000, pa[1] * 1000)).toBeCloseTo(1, 3);
  });
});
