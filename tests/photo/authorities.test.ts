import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { fitLens, lensThrough, toPicture, toPlan, type Lens } from "../../src/photo/lens.ts";
import { log10FalseAlarms, log10Tail } from "../../src/photo/odds.ts";
import { WHITE } from "../../src/photo/picture.ts";
import { findSpots } from "../../src/photo/spots.ts";
import { chance } from "./darkroom.ts";

/** Output of numpy and scipy: scripts/authorities/photo.py. */
const from = JSON.parse(readFileSync("tests/authorities/photo-scipy.json", "utf8")) as {
  homography: Record<"plan" | "picture" | "probe" | "expected", [number, number][]>;
  lens: Record<"plan" | "picture" | "probe" | "expected", [number, number][]> & {
    width: number;
    height: number;
  };
  centroids: { size: number; white: number; levels: number[]; centres: [number, number][] };
  odds: { n: number; k: number; p: number; log10: number }[];
};
const FRAME = { originMm: [0, 0] as const, unitMm: 1 };
const pairs = (plan: [number, number][], picture: [number, number][]) =>
  plan.map(([xMm, yMm], i) => ({ xMm, yMm, xPx: picture[i]![0], yPx: picture[i]![1] }));
const far = (lens: Lens, [x, y]: [number, number], [u, v]: [number, number]): number => {
  const at = toPicture(lens, x, y)!;
  return Math.hypot(at.xPx - u, at.yPx - v);
};

describe("against numpy and scipy", () => {
  test("the homography through four corners is numpy's", () => {
    const { plan, picture, probe, expected } = from.homography;
    const lens = lensThrough({ widthPx: 4000, heightPx: 3000 }, FRAME, pairs(plan, picture))!;
    probe.forEach((p, i) => expect(far(lens, p, expected[i]!)).toBeLessThan(1e-6));
  });

  test("homography and radial bend by least squares: within 0.07 pixels rms of scipy's", () => {
    // scipy minimises plain squares, ours lets outliers count less: they agree as far as 0.4 px of noise lets them
    const { plan, picture, probe, expected, width, height } = from.lens;
    const size = { widthPx: width, heightPx: height };
    const start = lensThrough(size, FRAME, pairs(plan, picture))!;
    const { lens } = fitLens(start, pairs(plan, picture), "bent twice");
    probe.forEach((p, i) => expect(far(lens, p, expected[i]!)).toBeLessThan(0.15));
    const rms = Math.sqrt(
      probe.reduce((sum, p, i) => sum + far(lens, p, expected[i]!) ** 2, 0) / probe.length,
    );
    expect(rms).toBeLessThan(0.07);
  });

  test("back from the picture to the plan: exact to a millionth", () => {
    const { plan, picture, width, height } = from.lens;
    const start = lensThrough({ widthPx: width, heightPx: height }, FRAME, pairs(plan, picture))!;
    const { lens } = fitLens(start, pairs(plan, picture), "bent twice");
    for (const [x, y] of plan) {
      const at = toPicture(lens, x, y)!;
      const back = toPlan(lens, at.xPx, at.yPx)!;
      expect(Math.hypot(back.xMm - x, back.yMm - y)).toBeLessThan(1e-6);
    }
  });

  test("centres of light are those of scipy.ndimage.center_of_mass, to a twentieth of a pixel", () => {
    const { size, white, levels, centres } = from.centroids;
    const light = Uint16Array.from(levels, (v) => Math.round((v / white) * WHITE));
    const { spots } = findSpots({ widthPx: size, heightPx: size, light });
    expect(spots).toHaveLength(centres.length);
    for (const [x, y] of centres) {
      const off = Math.min(...spots.map((s) => Math.hypot(s.xPx - x, s.yPx - y)));
      expect(off).toBeLessThan(0.05);
    }
  });

  test("chances are scipy.stats.binom's", () => {
    for (const { n, k, p, log10 } of from.odds)
      expect(Math.abs(log10Tail(n, k, p) - log10)).toBeLessThan(1e-8 * Math.abs(log10) + 1e-9);
  });
});

describe("odds against counting", () => {
  test("how often so many of fourteen places hold a light by chance", () => {
    const random = chance(11);
    const [n, p, rounds] = [14, 0.2, 40_000];
    const counted = Array<number>(n + 1).fill(0);
    for (let i = 0; i < rounds; i++) {
      let hits = 0;
      for (let j = 0; j < n; j++) if (random() < p) hits++;
      for (let k = 0; k <= hits; k++) counted[k]!++;
    }
    for (let k = 1; k <= 7; k++) {
      const expected = rounds * 10 ** log10Tail(n, k, p);
      expect(Math.abs(counted[k]! - expected)).toBeLessThan(4 * Math.sqrt(expected) + 1);
    }
  });

  test("chance circles on chance dots: never fewer false alarms promised than counted", () => {
    // 60 places against 60 dots on a unit square, placed at random: how many agree within 0.02
    const random = chance(5);
    const [lights, places, radius, rounds] = [60, 60, 0.02, 2000];
    const p = lights * Math.PI * radius * radius;
    const counts = Array<number>(places + 1).fill(0);
    for (let round = 0; round < rounds; round++) {
      const dots = Array.from({ length: lights }, () => [random(), random()] as const);
      let agree = 0;
      for (let i = 0; i < places; i++) {
        const [x, y] = [random(), random()];
        if (dots.some(([u, v]) => Math.hypot(u - x, v - y) < radius)) agree++;
      }
      for (let k = 0; k <= agree; k++) counts[k]!++;
    }
    for (let k = 6; k <= 12; k++) {
      const promised = rounds * 10 ** log10Tail(places, k, p);
      expect(counts[k]!).toBeLessThan(promised + 4 * Math.sqrt(promised) + 3);
    }
    expect(log10FalseAlarms(300, 20, 320, 0.01)).toBeGreaterThan(0);
    expect(log10FalseAlarms(300, 200, 320, 0.01)).toBeLessThan(-100);
  });
});
