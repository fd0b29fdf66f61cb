import { makeBundles, type BundleInput } from "../../src/bundles/bundles.ts";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { loadSolver } from "../../src/cli/solver.ts";
import { jobSchema } from "../../src/job/schema.ts";
import { seededRandom } from "../../src/pattern/random.ts";
import type { Hole } from "../../src/pattern/types.ts";

export interface BundlesTiming {
  tiles: number;
  engines: number;
  holes: number;
  capacity: number;
  ms: number;
  way: string;
  /** Proven, as a share of the cost. */
  gap: number;
  splitTiles: number;
  borders: number;
  /** The same by hand rules, and how much more strand it takes. */
  handMs: number;
  handMore: number;
}

/** An invented room of 600 mm tiles, about 27 holes in each, engines along its walls, strands cut from reels. */
export function bundlesBench(columns: number, rows: number, engines: number, spare: number): BundleInput {
  const random = seededRandom(600 + engines);
  const perTile = () => 20 + random.below(15);
  const [width, depth] = [columns * 600, rows * 600];
  const places = Array.from({ length: engines }, (_, e): [number, number] => {
    const at = ((2 * Math.floor(e / 2) + 1) * width) / (2 * Math.ceil(engines / 2));
    return e % 2 === 0 ? [at, 0] : [at, depth];
  });
  const base = {
    format: "velarium.job",
    version: 1,
    title: "bench",
    ceiling: {
      outlineMm: [[0, 0], [width, 0], [width, depth], [0, depth]], // prettier-ignore
      grid: { moduleMm: [600, 600], originMm: [0, 0] },
      voidMm: 400,
    },
    sky: { chosen: "a", options: [{ id: "a", place: { latDeg: 47, lonDeg: 8 }, moment: { utc: "2031-08-14T21:00:00Z" } }] }, // prettier-ignore
    strands: { stock: [{ diameterMm: 0.75, count: 1 }] },
  };
  const ceiling = makeCeiling(jobSchema.parse(base).ceiling);
  const holes = ceiling.tiles.flatMap(({ name, box }) =>
    Array.from({ length: perTile() }, (_, n): Hole => {
      const tileXMm = 30 + random.below(540);
      const tileYMm = 30 + random.below(540);
      return {
        id: 0,
        tile: name,
        numberInTile: n + 1,
        kind: "star",
        star: 1,
        name: "",
        magnitude: 4,
        colourBv: null,
        trueXMm: 0,
        trueYMm: 0,
        xMm: box.minX / 1000 + tileXMm,
        yMm: box.minY / 1000 + tileYMm,
        tileXMm,
        tileYMm,
        diameterMm: n % 24 === 0 ? 1.5 : n % 6 === 0 ? 1 : 0.75,
        movedMm: 0,
        merged: [],
        byHand: false,
        inFigure: false,
      };
    }),
  );
  holes.forEach((hole, i) => (hole.id = i + 1));
  const capacity = Math.ceil((holes.length * (1 + spare)) / engines);
  const letter = (e: number) => String.fromCharCode(65 + e);
  const bundles = {
    engines: places.map((atMm, e) => ({ letter: letter(e), atMm, capacity, portDiameterMm: 40, reachM: 15 })),
    cutLengthsM: [2, 3, 4, 5, 6, 8, 10, 12, 15],
    timeLimitS: 25,
  };
  return { job: jobSchema.parse({ ...base, bundles }), ceiling, pattern: { holes } };
}

/** Sharing-out with its proven gap. Issue: 60 tiles x 3 engines optimal in 2 s; 600 x 20 in 30 s. */
export async function benchBundles(
  sizes: [columns: number, rows: number, engines: number, spare: number][] = [
    [10, 6, 3, 0.1],
    [10, 6, 3, 0],
    [30, 20, 20, 0.1],
  ],
): Promise<BundlesTiming[]> {
  const solver = await loadSolver();
  return sizes.map(([columns, rows, engines, spare]) => {
    const input = bundlesBench(columns, rows, engines, spare);
    const start = performance.now();
    const { allotment } = makeBundles(input, { solver });
    const ms = performance.now() - start;
    const startHand = performance.now();
    const hand = makeBundles(input, { solver: null });
    return {
      tiles: columns * rows,
      engines,
      holes: input.pattern.holes.length,
      capacity: input.job.bundles.engines[0]!.capacity,
      ms,
      way: allotment.way,
      gap: allotment.gap,
      splitTiles: allotment.splitTiles.length,
      borders: allotment.borders,
      handMs: performance.now() - startHand,
      handMore: hand.allotment.strandM / allotment.strandM - 1,
    };
  });
}
