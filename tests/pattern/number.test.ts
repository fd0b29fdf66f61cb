import { describe, expect, test } from "vitest";
import type { Tile } from "../../src/ceiling/types.ts";
import { numberingOrder } from "../../src/pattern/number.ts";
import { seededRandom } from "../../src/pattern/random.ts";

const tile = (name: string, column: number) =>
  ({
    name,
    row: 0,
    column,
    box: { minX: column * 6e5, minY: 0, maxX: column * 6e5 + 6e5, maxY: 6e5 },
  }) as Tile;

const [A1, A2] = [tile("A1", 0), tile("A2", 1)];

const lengthOf = (order: number[], x: number[], y: number[]): number =>
  order.slice(1).reduce((sum, q, k) => sum + Math.hypot(x[q]! - x[order[k]!]!, y[q]! - y[order[k]!]!), 0);

/** Every way to go on from the first hole, tried. */
function shortest(order: number[], x: number[], y: number[]): number {
  const [first, ...rest] = order;
  let best = Infinity;
  const go = (at: number, left: number[], so: number): void => {
    if (left.length === 0) best = Math.min(best, so);
    left.forEach((next, k) =>
      go(next, left.toSpliced(k, 1), so + Math.hypot(x[at]! - x[next]!, y[at]! - y[next]!)),
    );
  };
  go(first!, rest, 0);
  return best;
}

describe("holes are numbered as a hand walks", () => {
  test.each([1, 2, 3, 4, 5, 6])("close to the shortest of all ways over eight holes, seed %i", (seed) => {
    const { below } = seededRandom(seed);
    const x = Array.from({ length: 8 }, () => below(6e5));
    const y = Array.from({ length: 8 }, () => below(6e5));
    const order = numberingOrder(x, y, x.map(() => A1)); // prettier-ignore
    expect([...order].sort()).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    const nearestDatum = x.map((_, i) => Math.hypot(x[i]!, y[i]!));
    expect(nearestDatum[order[0]!]).toBe(Math.min(...nearestDatum));
    expect(lengthOf(order, x, y)).toBeLessThan(1.2 * shortest(order, x, y));
  });

  test("tile after tile, and in any order of the input alike", () => {
    const x = [700_000, 100_000, 500_000, 650_000, 120_000];
    const y = [100_000, 100_000, 400_000, 50_000, 500_000];
    const tiles = x.map((at) => (at < 6e5 ? A1 : A2));
    expect(numberingOrder(x, y, tiles)).toEqual([1, 4, 2, 3, 0]);
    const turned = [4, 3, 2, 1, 0];
    const again = numberingOrder(
      turned.map((i) => x[i]!),
      turned.map((i) => y[i]!),
      turned.map((i) => tiles[i]!),
    );
    expect(again.map((k) => turned[k])).toEqual([1, 4, 2, 3, 0]);
  });

  test("a tile as full as they come is walked in bands, each hole once", () => {
    const { below } = seededRandom(9);
    const x = Array.from({ length: 3000 }, () => below(6e5));
    const y = Array.from({ length: 3000 }, () => below(6e5));
    const order = numberingOrder(x, y, x.map(() => A1)); // prettier-ignore
    expect(new Set(order).size).toBe(3000);
  });
});
