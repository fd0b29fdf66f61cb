import { geoCircle, geoContains } from "d3-geo";
import { describe, expect, it } from "vitest";
import { drawnFigures, drawnSky, radiusMmAt } from "../../src/sky/drawn.ts";
import { skyFrame } from "../../src/sky/frame.ts";
import { makeProjection, toDirection } from "../../src/sky/projection.ts";
import { altitudeDegOf, azimuthDegOf } from "../../src/sky/trig.ts";
import type { Projection } from "../../src/sky/types.ts";
import { aBox, aNight, tableOf } from "./support.ts";

/** Three stars that make an open corner, one of them far below the horizon of the test's night. */
const catalog = {
  stars: tableOf([
    { hip: 11, raDeg: 95, decDeg: 60, magnitude: 1 },
    { hip: 12, raDeg: 130, decDeg: 45, magnitude: 2 },
    { hip: 13, raDeg: 100, decDeg: 20, magnitude: 3 },
    { hip: 14, raDeg: 110, decDeg: -70, magnitude: 3 },
  ]),
  figures: [
    { abbreviation: "Aaa", name: "Corner", lines: [[11, 12, 13]] },
    { abbreviation: "Bbb", name: "Sinking", lines: [[13, 14]] },
    { abbreviation: "Ccc", name: "Unknown", lines: [[998, 999]] },
  ],
};
const frame = skyFrame(aNight());
const zenith = makeProjection(aNight().view, aNight().field, 29, aBox);

const altitudeAt = (projection: Projection, [x, y]: [number, number]) =>
  altitudeDegOf(...toDirection(projection, x * 1000, y * 1000));

describe("drawn things", () => {
  it("keep every figure's star where the stars' own pass puts it, and the chain whole", () => {
    const [corner] = drawnFigures(catalog, frame, zenith);
    expect(corner!.lines).toHaveLength(1);
    expect(corner!.lines[0]!.length).toBeGreaterThan(40);
    // No chord longer than a degree and a half of sky.
    corner!.lines[0]!.slice(1).forEach(([x, y], i) => {
      const [px, py] = corner!.lines[0]![i]!;
      expect(Math.hypot(x - px, y - py)).toBeLessThan(radiusMmAt(zenith, 60) / 20);
    });
    expect(corner!.labelMm).not.toBeNull();
  });

  it("cut a sinking line at the horizon, and leave out stars no table has", () => {
    const [, sinking, unknown] = drawnFigures(catalog, frame, zenith);
    const line = sinking!.lines[0]!;
    expect(altitudeAt(zenith, line[0]!)).toBeGreaterThan(30);
    expect(altitudeAt(zenith, line.at(-1)!)).toBeCloseTo(0, 4);
    line.forEach((point) => expect(altitudeAt(zenith, point)).toBeGreaterThan(-1e-4));
    expect(unknown).toMatchObject({ lines: [], labelMm: null });
  });

  it("have fewer corners when asked, between the same ends", () => {
    const [fine] = drawnFigures(catalog, frame, zenith);
    const [coarse] = drawnFigures(catalog, frame, zenith, 3);
    const [a, b] = [fine!.lines[0]!, coarse!.lines[0]!];
    expect(b.length).toBeLessThan(a.length / 2.5);
    expect([b[0], b.at(-1)]).toEqual([a[0], a.at(-1)]);
    expect(coarse!.labelMm).toEqual(fine!.labelMm);
  });

  it("draw horizon and circles of altitude at the radius the formula gives", () => {
    const { horizon, altitudes, azimuths, cardinals } = drawnSky(catalog, frame, zenith);
    const [ax, ay] = zenith.anchorMm;
    for (const [altitude, lines] of [
      [0, horizon] as const,
      ...altitudes.map((a) => [a.altitudeDeg, a.lines] as const),
    ]) {
      expect(lines.flat().length).toBe(361);
      lines.flat().forEach(([x, y]) => {
        expect(Math.hypot(x - ax, y - ay)).toBeCloseTo(radiusMmAt(zenith, 90 - altitude), 6);
      });
    }
    for (const { azimuthDeg, lines } of azimuths) {
      const [x, y] = lines[0]![10]!;
      expect(
        azimuthDegOf(...(toDirection(zenith, x * 1000, y * 1000).slice(0, 2) as [number, number])),
      ).toBeCloseTo(azimuthDeg, 6);
    }
    // +Y bears 29 degrees: north lies 29 degrees to its left, east to the right of it.
    const at = Object.fromEntries(cardinals.map((c) => [c.name, c.atMm!]));
    expect((Math.atan2(at["N"]![0] - ax, at["N"]![1] - ay) * 180) / Math.PI).toBeCloseTo(-29, 4);
    expect((Math.atan2(at["E"]![0] - ax, at["E"]![1] - ay) * 180) / Math.PI).toBeCloseTo(61, 4);
  });

  it.each([
    [0, 20],
    [180, -10],
    [90, -89],
    [300, -90],
    [45, 1],
  ])("stay finite and above the horizon for a view to azimuth %d, altitude %d", (azimuthDeg, altitudeDeg) => {
    const view = { azimuthDeg, altitudeDeg, turnDeg: 10 };
    const projection = makeProjection(view, { halfAngleDeg: 170 }, 0, aBox);
    const { figures, horizon, altitudes, azimuths, bodies } = drawnSky(catalog, frame, projection);
    const curves = [
      horizon,
      ...figures.map((f) => f.lines),
      ...altitudes.map((a) => a.lines),
      ...azimuths.map((a) => a.lines),
    ].flat(2);
    expect(curves.length).toBeGreaterThan(300);
    curves.forEach((point) => {
      expect(point.every(Number.isFinite)).toBe(true);
      expect(Math.abs(point[0])).toBeLessThan(1e6);
      expect(altitudeAt(projection, point)).toBeGreaterThan(-1e-3);
    });
    bodies.forEach(({ atMm }) => expect(altitudeAt(projection, atMm)).toBeGreaterThan(0));
  });

  it("agree with d3-geo about which side of a circle of altitude a point lies", () => {
    // Source: d3-geo (npm), live: its spherical cap of 45 degrees about the zenith, azimuth as longitude.
    const cap = geoCircle().center([0, 90]).radius(45)();
    const { altitudes } = drawnSky(catalog, frame, zenith);
    const inner = altitudes.find((a) => a.altitudeDeg === 60)!.lines.flat();
    const outer = altitudes.find((a) => a.altitudeDeg === 30)!.lines.flat();
    const lonLat = ([x, y]: [number, number]): [number, number] => {
      const [n, e, u] = toDirection(zenith, x * 1000, y * 1000);
      return [azimuthDegOf(n, e), altitudeDegOf(n, e, u)];
    };
    inner.filter((_, i) => i % 30 === 0).forEach((p) => expect(geoContains(cap, lonLat(p))).toBe(true));
    outer.filter((_, i) => i % 30 === 0).forEach((p) => expect(geoContains(cap, lonLat(p))).toBe(false));
  });
});
