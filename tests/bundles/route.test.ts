import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { lengthUm, sharedUm, VoidGrid } from "../../src/bundles/route.ts";
import { voidSpace } from "../../src/bundles/voidSpace.ts";
import type { PointUm } from "../../src/geometry/types.ts";
import { room, type RoomSpec } from "./support.ts";

type Void = NonNullable<RoomSpec["bundles"]["obstacles"]>;

function wayBetween(
  from: [number, number],
  to: [number, number],
  obstacles: Void,
  spec: Partial<RoomSpec> = {},
) {
  const { job, ceiling } = room({
    ...spec,
    bundles: { engines: [{ letter: "A", atMm: from }], obstacles, riseM: 0.3 },
    holes: [],
  });
  const um = ([x, y]: [number, number]): PointUm => ({ x: x * 1000, y: y * 1000 });
  const grid = new VoidGrid(voidSpace(job.bundles, ceiling), [um(from), um(to)]);
  return grid.from(um(from))(um(to));
}

const mm = (way: PointUm[] | null) => way?.map(({ x, y }) => [x / 1000, y / 1000]);
const box = (x0: number, y0: number, x1: number, y1: number, clearanceMm = 0): Void[number] => ({
  polygonMm: [[x0, y0], [x1, y0], [x1, y1], [x0, y1]], // prettier-ignore
  clearanceMm,
});

describe("right-angled ways through the void, worked by hand", () => {
  test("straight and once round the corner", () => {
    expect(mm(wayBetween([100, 100], [2900, 100], []))).toEqual([[100, 100], [2900, 100]]); // prettier-ignore
    const way = wayBetween([100, 100], [2900, 2300], [])!;
    expect(way).toHaveLength(3);
    expect(lengthUm(way) / 1000).toBe(2800 + 2200);
  });

  test("round a duct with its clearance: 100 + 50 mm aside and back", () => {
    // The duct spans 900 to 1300 about the line y = 1100; the nearer way is below it: 1100 - (900 - 50) = 250 twice.
    const way = wayBetween([300, 1100], [2700, 1100], [box(1200, 900, 1600, 1500, 50)])!;
    expect(lengthUm(way) / 1000).toBe(2400 + 2 * 250);
    expect(Math.min(...way.map(({ y }) => y))).toBe(850_000);
  });

  test("round the inner corner of an L-shaped room", () => {
    const outlineMm: [number, number][] = [[0, 0], [3000, 0], [3000, 1000], [1000, 1000], [1000, 2400], [0, 2400]]; // prettier-ignore
    const way = wayBetween([900, 2300], [2900, 900], [], { outlineMm })!;
    expect(lengthUm(way) / 1000).toBe(2000 + 1400);
    expect(way.every(({ x, y }) => x <= 1_000_000 || y <= 1_000_000)).toBe(true);
  });

  test("round a tile left plain, as it is there to be opened; along a wall there is no slit to slip through", () => {
    // Column 2 of the bottom row (600 to 1200): its tile and half a tee more are kept free, up to 600 + 12 - 2.5 mm.
    const spec = { ceiling: { tiles: { D2: { use: "plain" as const } } } };
    const way = wayBetween([300, 100], [1500, 100], [], spec)!;
    expect(lengthUm(way) / 1000).toBe(1200 + 2 * (597.5 + 12 - 100));
  });

  test("round a diffuser and its clearance, not round a sprinkler", () => {
    const rectangle = { cornerMm: [900, 300] as [number, number], sizeMm: [300, 900] as [number, number] };
    const ceiling = (kind: "diffuser" | "sprinkler") => ({
      ceiling: { noGo: [{ kind, rectangle, clearanceMm: 40 }] },
    });
    const length = (kind: "diffuser" | "sprinkler") => lengthUm(wayBetween([300, 600], [2700, 600], [], ceiling(kind))!) / 1000; // prettier-ignore
    expect(length("diffuser")).toBeCloseTo(2400 + 2 * (600 - 300 + 40), 0);
    expect(length("sprinkler")).toBe(2400);
  });

  test("runs shared by several tails count once", () => {
    const line = (...points: [number, number][]) => points.map(([x, y]) => ({ x, y }));
    const lines = [line([0, 0], [10, 0], [10, 5]), line([0, 0], [10, 0], [10, 8]), line([4, 0], [12, 0])];
    expect(sharedUm(lines)).toBe(12 + 8);
  });

  test("an obstacle above the runs is passed beneath; one from wall to wall closes the way", () => {
    const wall = box(1000, 0, 1200, 2400);
    expect(wayBetween([300, 300], [2700, 300], [{ ...wall, undersideMm: 400 }])).toHaveLength(2);
    expect(wayBetween([300, 300], [2700, 300], [wall])).toBeNull();
  });

  test("an engine in a cupboard outside the room gets in at the nearest spot of the wall", () => {
    const way = wayBetween([-400, 700], [900, 700], [])!;
    expect(lengthUm(way) / 1000).toBe(1300);
  });
});

/** Shortest way on a raster, walking cell corners: slow, and knows nothing of our grid. */
function rasterLength(
  from: [number, number],
  to: [number, number],
  obstacles: [number, number, number, number][],
  step = 100,
): number {
  const [columns, rows] = [3000 / step, 2400 / step];
  const solid = (x: number, y: number) =>
    x < 0 ||
    y < 0 ||
    x > 3000 ||
    y > 2400 ||
    obstacles.some(([a, b, c, d]) => x > a && x < c && y > b && y < d);
  // A step is free where one of its two sides is: there is no way between things that touch.
  const blocked = (x: number, y: number, level: boolean) =>
    level ? solid(x, y - 1) && solid(x, y + 1) : solid(x - 1, y) && solid(x + 1, y);
  const seen = new Map([[`${from[0] / step},${from[1] / step}`, 0]]);
  const queue: [number, number][] = [[from[0] / step, from[1] / step]];
  for (let head = 0; head < queue.length; head++) {
    const [i, j] = queue[head]!;
    const distance = seen.get(`${i},${j}`)!;
    if (i * step === to[0] && j * step === to[1]) return distance * step;
    for (const [di, dj] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ] as const) {
      // prettier-ignore
      const [k, l] = [i + di, j + dj];
      if (k < 0 || l < 0 || k > columns || l > rows || seen.has(`${k},${l}`)) continue;
      if (blocked(((i + k) / 2) * step, ((j + l) / 2) * step, dj === 0)) continue;
      seen.set(`${k},${l}`, distance + 1);
      queue.push([k, l]);
    }
  }
  return Infinity;
}

test("as short as a walk over a raster, for random ducts (seed 41)", () => {
  const at = (most: number) => fc.integer({ min: 0, max: most }).map((n) => n * 100);
  const duct = fc.tuple(at(28), at(22), fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 12 })).map(([x, y, w, h]): [number, number, number, number] => [x, y, Math.min(3000, x + w * 100), Math.min(2400, y + h * 100)]); // prettier-ignore
  let found = 0;
  fc.assert(
    fc.property(
      fc.tuple(at(30), at(24)),
      fc.tuple(at(30), at(24)),
      fc.array(duct, { maxLength: 6 }),
      (from, to, ducts) => {
        const way = wayBetween(
          from,
          to,
          ducts.map(([a, b, c, d]) => box(a, b, c, d)),
        );
        const raster = rasterLength(from, to, ducts);
        if (way) found++;
        // A start inside a duct has no way out, whatever the raster's corners say.
        const inside = [from, to].some(([x, y]) =>
          ducts.some(([a, b, c, d]) => x >= a && x <= c && y >= b && y <= d),
        );
        if (!inside) expect(way ? lengthUm(way) / 1000 : Infinity).toBe(raster);
      },
    ),
    { seed: 41, numRuns: 120 },
  );
  expect(found).toBeGreaterThan(60);
});
