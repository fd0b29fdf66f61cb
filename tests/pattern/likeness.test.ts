import { describe, expect, test } from "vitest";
import { seededRandom } from "../../src/pattern/random.ts";
import { rectangle, settle, type Setting, type TestStar } from "./synthetic.ts";

const room = { outlineMm: rectangle(2400, 2400) };
const sheet = {
  ...room,
  grid: { moduleMm: [2400, 2400] as [number, number], originMm: [0, 0] as [number, number] },
};
const strands = (count: number) => ({ stock: [{ diameterMm: 0.75, count }] });
const likeness = (stars: TestStar[], ceiling: Setting["ceiling"] = room) =>
  settle({ stars, ceiling: ceiling ?? room, strands: strands(stars.length), pattern: { deeperShare: 0, reachMm: 0, brightReachMm: 0 } }).fidelity.likeness; // prettier-ignore
const at = (places: [number, number][]): TestStar[] =>
  places.map(([xMm, yMm], i) => ({ hip: i + 1, xMm, yMm, magnitude: 5 + (i % 100) / 100 }));

describe("likeness, where the answer is known", () => {
  test("stars by chance are as near to each other as chance points (Clark & Evans 1954: R = 1)", () => {
    const random = seededRandom(3);
    const ratios = [0, 1, 2, 3].map(
      () => likeness(at(Array.from({ length: 900 }, () => [random.below(2_400_000) / 1000, random.below(2_400_000) / 1000]))).nearestNeighbour, // prettier-ignore
    );
    const mean = ratios.reduce((sum, r) => sum + r, 0) / ratios.length;
    expect(mean).toBeGreaterThan(0.96);
    expect(mean).toBeLessThan(1.04);
  });

  test("a square lattice stands 2 times as far apart (nearest neighbour 1 per root density, chance 0.5)", () => {
    const lattice = Array.from({ length: 900 }, (_, k): [number, number] => [40.5 + 80 * (k % 30), 40.5 + 80 * Math.floor(k / 30)]); // prettier-ignore
    const { nearestNeighbour } = likeness(at(lattice), sheet);
    expect(nearestNeighbour).toBeGreaterThan(1.75);
    expect(nearestNeighbour).toBeLessThan(2.1);
  });

  test("stars on the edges of the usable area are told", () => {
    const edge = 600 - 19.5 - 1;
    const rows = Array.from({ length: 50 }, (_, k): [number, number] => [edge, 660 + 9 * k]);
    expect(likeness(at(rows)).edgeExcess).toBeGreaterThan(20);
    const middle = Array.from({ length: 50 }, (_, k): [number, number] => [300, 660 + 9 * k]);
    expect(likeness(at(middle)).edgeExcess).toBe(0);
  });
});
