import { describe, expect, test } from "vitest";
import { channelLight, makeWheel, strandLights } from "../../src/scene/lights.ts";
import { transmission } from "../../src/scene/photometry.ts";
import { fixtureJob, hole, scatteredHoles } from "./fixture.ts";

const job = fixtureJob();

test("power is area times what the length leaves", () => {
  const [near, far] = strandLights(job, [hole(1, 0, 0, 1.5), hole(2, 0, 0, 0.75)], new Map([[1, 10]]));
  expect(near!.power).toBeCloseTo(4 * transmission(10, 0.2), 12);
  expect(far!.power).toBeCloseTo(transmission(job.scene.lengthM, 0.2), 12);
});

describe("cut ends", () => {
  test("square ends point straight down", () => {
    const square = fixtureJob({ scene: { ends: "square" } });
    for (const light of strandLights(square, scatteredHoles(50))) expect(light.axis![2]).toBe(-1);
  });
  test("snipped ends bend up to 10.6 degrees for a tilt of 20, all ways round (Snell, n = 1.49)", () => {
    const lights = strandLights(job, scatteredHoles(5000));
    const bends = lights.map((l) => (Math.acos(Math.min(1, -l.axis![2])) * 180) / Math.PI);
    expect(Math.max(...bends)).toBeLessThan(10.65);
    expect(Math.max(...bends)).toBeGreaterThan(10.4);
    for (const l of lights) expect(Math.hypot(...l.axis!)).toBeCloseTo(1, 12);
    const quadrants = [0, 0, 0, 0];
    for (const l of lights) {
      const which = (l.axis![0] > 0 ? 1 : 0) + (l.axis![1] > 0 ? 2 : 0);
      quadrants[which] = quadrants[which]! + 1;
    }
    for (const count of quadrants) expect(Math.abs(count - 1250)).toBeLessThan(150);
  });
});

describe("twinkle", () => {
  const holes = scatteredHoles(6000).map((h, i) => ({ ...h, tile: `T${i % 48}` }));
  const lights = strandLights(job, holes);
  const twinkling = lights.filter((l) => l.channel >= 0);

  test("the asked share of stars", () => {
    expect(twinkling.length / lights.length).toBeCloseTo(job.scene.twinkle.share, 1);
    const none = fixtureJob({ scene: { twinkle: { share: 0 } } });
    expect(strandLights(none, holes).every((l) => l.channel === -1)).toBe(true);
  });
  test("channels are spread evenly and know nothing of tiles", () => {
    const counts = new Map<string, number>();
    lights.forEach((l, i) => {
      if (l.channel >= 0)
        counts.set(`${holes[i]!.tile}/${l.channel}`, (counts.get(`${holes[i]!.tile}/${l.channel}`) ?? 0) + 1);
    });
    const expected = twinkling.length / (48 * 6);
    let chi2 = 0;
    for (let tile = 0; tile < 48; tile++) {
      for (let channel = 0; channel < 6; channel++) {
        const seen = counts.get(`T${tile}/${channel}`) ?? 0;
        chi2 += (seen - expected) ** 2 / expected;
      }
    }
    // 288 cells less one: mean 287, standard deviation 24; 99.9 % at 367 (Wilson-Hilferty)
    expect(chi2).toBeLessThan(367);
  });
  test("the Moon and planets stand steady", () => {
    const bodies = holes.slice(0, 500).map((h) => ({ ...h, kind: "planet" as const }));
    expect(strandLights(job, bodies).every((l) => l.channel === -1)).toBe(true);
  });
  test("fades run at 0.1 to 1 Hz (common practice, no source), well under 3 Hz (WCAG 2.2, 2.3.1), and repeat with the wheel", () => {
    const wheel = makeWheel(job);
    for (const lobes of wheel.lobes) {
      expect(lobes / wheel.turnS).toBeGreaterThanOrEqual(0.1);
      expect(lobes / wheel.turnS).toBeLessThanOrEqual(1);
    }
    for (let c = 0; c < wheel.lobes.length; c++) {
      const lights: number[] = [];
      for (let t = 0; t < 20; t += 0.01) lights.push(channelLight(wheel, c, t));
      expect(Math.max(...lights)).toBeCloseTo(1, 3);
      expect(Math.min(...lights)).toBeCloseTo(1 - wheel.depth, 3);
      expect(channelLight(wheel, c, 3.3 + wheel.turnS)).toBeCloseTo(channelLight(wheel, c, 3.3), 9);
    }
  });
});
