import { describe, expect, test } from "vitest";
import { drillMm, holeMm } from "../../src/pattern/packing.ts";

type Disc = readonly [number, number];

/** Known arrangements of unit circles, written down apart from the radii: rings, and one in the middle of 7. */
const ring = (k: number, radius: number): Disc[] =>
  Array.from({ length: k }, (_, i) => [
    radius * Math.cos((2 * Math.PI * i) / k),
    radius * Math.sin((2 * Math.PI * i) / k),
  ]);
const ARRANGED = [1, 2, 3, 4, 5, 6, 7].map((k) =>
  k === 1
    ? [[0, 0] as const]
    : k === 7
      ? [[0, 0] as const, ...ring(6, 2)]
      : ring(k, 1 / Math.sin(Math.PI / k)),
);

describe("the smallest circle round k equal circles", () => {
  test("is as published: Kravitz, Mathematics Magazine 40 (1967), 65-71, to the digits given there", () => {
    const published = [1, 2, 2.1547, 2.4142, 2.7013, 3, 3];
    published.forEach((ratio, i) => {
      // A strand of 2 mm is a circle of radius 1, so that half the hole is the ratio.
      expect(holeMm({ diameterMm: 2, strands: i + 1 }) / 2).toBeCloseTo(ratio, 3);
    });
  });

  test("takes the known arrangement: nobody overlaps, nobody sticks out", () => {
    ARRANGED.forEach((discs, i) => {
      const radius = holeMm({ diameterMm: 2, strands: i + 1 }) / 2;
      discs.forEach(([x, y], a) => {
        expect(Math.hypot(x, y) + 1).toBeLessThanOrEqual(radius + 1e-9);
        discs
          .slice(a + 1)
          .forEach(([u, v]) => expect(Math.hypot(x - u, y - v)).toBeGreaterThanOrEqual(2 - 1e-9));
      });
    });
  });

  test("and no drill a tenth of a millimetre thinner would: pushing circles apart finds no room in it", () => {
    // Repulsion from chance starts: an oracle that knows no formula. Overlap that is left, in radii.
    const overlap = (k: number, radius: number): number => {
      let least = Infinity;
      let state = 7 * k + 1;
      const chance = () => (state = (state * 48271) % 2147483647) / 2147483647 - 0.5;
      for (let start = 0; start < 40; start++) {
        const discs = Array.from({ length: k }, () => [chance(), chance()] as [number, number]);
        let over = 0;
        for (let step = 0; step < 400; step++) {
          over = 0;
          for (let a = 0; a < k; a++) {
            for (let b = 0; b < a; b++) {
              const [dx, dy] = [discs[a]![0] - discs[b]![0], discs[a]![1] - discs[b]![1]];
              const d = Math.max(1e-9, Math.hypot(dx, dy));
              if (d >= 2) continue;
              over = Math.max(over, 2 - d);
              const push = (2 - d) / 2 / d;
              discs[a] = [discs[a]![0] + dx * push, discs[a]![1] + dy * push];
              discs[b] = [discs[b]![0] - dx * push, discs[b]![1] - dy * push];
            }
          }
          for (const disc of discs) {
            const d = Math.hypot(...disc);
            if (d + 1 <= radius) continue;
            over = Math.max(over, d + 1 - radius);
            disc[0] *= (radius - 1) / d;
            disc[1] *= (radius - 1) / d;
          }
        }
        least = Math.min(least, over);
      }
      return least;
    };
    for (let k = 2; k <= 7; k++) {
      const radius = holeMm({ diameterMm: 2, strands: k }) / 2;
      expect(overlap(k, radius + 0.005), `${k} in their circle`).toBeLessThan(0.006);
      expect(overlap(k, radius - 0.1), `${k} in a smaller one`).toBeGreaterThan(0.02);
    }
  });

  test("drills come in tenths, never too thin", () => {
    expect(drillMm({ diameterMm: 0.75, strands: 3 })).toBe(1.7); // 1.616
    expect(drillMm({ diameterMm: 1, strands: 7 })).toBe(3);
    expect(drillMm({ diameterMm: 1.5, strands: 1 })).toBe(1.5);
  });
});
