import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { largestRemainders } from "../../src/pattern/evenness.ts";
import { seededRandom } from "../../src/pattern/random.ts";
import type { Pattern } from "../../src/pattern/types.ts";
import { rectangle, settle, type TestStar } from "./synthetic.ts";

/** A sky crowded to the left, thin to the right, over 4 x 3 tiles. */
function lopsided(count: number): TestStar[] {
  const random = seededRandom(5);
  return Array.from({ length: count }, (_, i) => ({
    hip: i + 1,
    xMm: ((random.below(1000) / 1000) ** 2 * 2400 * 1000) / 1000,
    yMm: random.below(1_800_000) / 1000,
    magnitude: 1 + Math.floor((i * 700) / count) / 100,
  }));
}
const stars = lopsided(1500);
const plan = (evenness: number, change: object = {}, count = 360) =>
  settle({
    stars,
    ceiling: { outlineMm: rectangle(2400, 1800) },
    strands: { stock: [{ diameterMm: 1, count }] },
    pattern: { evenness, ...change },
  });
const perTile = (p: Pattern) => {
  const counts = new Map<string, number>();
  for (const h of p.holes) counts.set(h.tile, (counts.get(h.tile) ?? 0) + 1);
  return [...counts.values()].sort((a, b) => a - b);
};

describe("evenness", () => {
  test("0 is the true sky: one limit of brightness everywhere", () => {
    const p = plan(0);
    expect(p.lost.every((l) => l.reason !== "tile has its share")).toBe(true);
    const used = new Set(p.holes.map((h) => h.star));
    const unused = stars.filter((s) => !used.has(s.hip) && !p.lost.some((l) => l.star === s.hip));
    const brightestUnused = Math.min(...unused.map((s) => s.magnitude));
    expect(p.fidelity.faintestMagnitude).toBeLessThanOrEqual(brightestUnused);
    expect(p.fidelity.perTile.variation).toBeGreaterThan(0.3);
  });

  test("1 is as many in every tile, to one", () => {
    for (const count of [360, 365]) {
      const counts = perTile(plan(1, {}, count));
      expect(counts.reduce((s, n) => s + n, 0)).toBe(count);
      expect(counts.length).toBe(12);
      expect(counts.at(-1)! - counts[0]!).toBeLessThanOrEqual(1);
    }
    const mixed = perTile(plan(1, { deeperShare: 0.4 }));
    expect([mixed[0], mixed.at(-1)]).toEqual([30, 30]);
  });

  test("between, the counts go evenly from the one to the other, and the total stays", () => {
    const variation = [0, 0.25, 0.5, 0.75, 1].map((e) => {
      const p = plan(e);
      expect(p.holes.length).toBe(360);
      return p.fidelity.perTile.variation;
    });
    for (let i = 1; i < variation.length; i++) expect(variation[i]!).toBeLessThan(variation[i - 1]!);
    expect(variation[2]! / variation[0]!).toBeCloseTo(0.5, 1);
  });

  test("a full tile gives stars up as such, an empty one goes deeper; the brightest always stay", () => {
    const p = plan(1);
    const shared = p.lost.filter((l) => l.reason === "tile has its share");
    expect(shared.length).toBeGreaterThan(20);
    for (const tile of new Set(p.holes.map((h) => h.tile))) {
      const here = p.holes.filter((h) => h.tile === tile && h.magnitude !== null && h.merged.length === 0);
      const faintest = Math.max(...here.map((h) => h.magnitude!));
      const [minX, minY, maxX, maxY] = bounds(tile);
      for (const l of shared)
        if (l.trueXMm > minX + 30 && l.trueXMm < maxX - 30 && l.trueYMm > minY + 30 && l.trueYMm < maxY - 30)
          expect(l.magnitude, `${l.star} in ${tile}`).toBeGreaterThanOrEqual(faintest - 0.5);
    }
    expect(p.fidelity.faintestMagnitude!).toBeGreaterThan(plan(0).fidelity.faintestMagnitude!);
  });

  test("where tiles can't hold their share the others take it", () => {
    const small = plan(1, { spacingMm: 60 }, 700);
    const natural = plan(0, { spacingMm: 60 }, 700);
    expect(small.holes.length).toBeGreaterThanOrEqual(natural.holes.length * 0.97);
  });
});

test("comes to an end where the ceiling is just full, for any few strands too many", () => {
  const half = stars.slice(0, 40);
  const most = (count: number) =>
    settle({
      stars: half,
      ceiling: { outlineMm: rectangle(1200, 1200) },
      strands: { stock: [{ diameterMm: 1, count }] },
      pattern: { evenness: 1, spacingMm: 60 },
    }).holes.length;
  const full = most(2000);
  expect(full).toBeLessThan(2000);
  for (let over = -6; over <= 8; over++) expect(most(full + over)).toBeLessThanOrEqual(full + over);
});

/** Tiles are 600 mm, A at the top. */
function bounds(tile: string): [number, number, number, number] {
  const row = tile.charCodeAt(0) - 65;
  const column = Number(tile.slice(1)) - 1;
  return [column * 600, 1800 - (row + 1) * 600, (column + 1) * 600, 1800 - row * 600];
}

test("largest remainders keep the total, each count the floor of its share or one more (Hamilton's method)", () => {
  expect([...largestRemainders([2.5, 3.7, 1.8], 8)]).toEqual([2, 4, 2]);
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 0, max: 900 }), { minLength: 1, maxLength: 30 }),
      fc.integer({ min: 1, max: 97 }),
      (parts, by) => {
        const sum = parts.reduce((s, n) => s + n, 0);
        const total = Math.floor(sum / by);
        const shares = parts.map((n) => (sum ? (n * total) / sum : 0));
        const counts = largestRemainders(shares, total);
        expect(counts.reduce((s, n) => s + n, 0)).toBe(total);
        if (sum) counts.forEach((n, i) => expect(Math.abs(n - shares[i]!)).toBeLessThan(1 + 1e-9));
      },
    ),
  );
});
