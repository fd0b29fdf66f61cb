import { makeBundles, type BundleInput } from "../../src/bundles/bundles.ts";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { loadSolver } from "../../src/cli/solver.ts";
import { jobSchema } from "../../src/job/schema.ts";
import { JOB_VERSION } from "../../src/job/version.ts";
import { seededRandom } from "../../src/pattern/random.ts";
import type { Hole } from "../../src/pattern/types.ts";
import { medianMs, type BenchLine } from "./measure.ts";

/** An invented room of 600 mm tiles, about 27 holes in each, engines along its walls, strands cut from reels. */
export function bundlesBench(columns: number, rows: number, engines: number, spare: number): BundleInput {
  const random = seededRandom(600 + engines);
  const perTile = () => 20 + random.below(15);
  const [width, depth] = [columns * 600, rows * 600];
  // Unevenly along the two long walls (golden section), so that capacities bind and nearest is not best.
  const places = Array.from({ length: engines }, (_, e): [number, number] => [
    Math.round(((e * 0.6180339887498949) % 1) * width),
    e % 2 === 0 ? 0 : depth,
  ]);
  const base = {
    format: "velarium.job",
    version: JOB_VERSION,
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
        strands: 1,
        movedMm: 0,
        merged: [],
        byHand: false,
        deeper: false,
        inFigure: false,
      };
    }),
  );
  holes.forEach((hole, i) => (hole.id = i + 1));
  const capacity = Math.ceil((holes.length * (1 + spare)) / engines);
  const letter = (e: number) => String.fromCharCode(65 + e);
  const bundles = {
    engines: places.map((atMm, e) => ({ letter: letter(e), atMm, capacity, portDiameterMm: 40, reachM: 25 })),
    cutLengthsM: [2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25],
    timeLimitS: 25,
  };
  return { job: jobSchema.parse({ ...base, bundles }), ceiling, pattern: { holes } };
}

/** Sharing-out with its proven gap, beside the same by hand rules alone. */
export async function benchBundles(): Promise<BenchLine[]> {
  const solver = await loadSolver();
  const line = (what: string, input: BundleInput, runs: number, goal: string): BenchLine => {
    let allotment = makeBundles(input, { solver }).allotment;
    const ms = medianMs(runs, 0, () => (allotment = makeBundles(input, { solver }).allotment));
    let byHand = allotment;
    const handMs = medianMs(runs, 0, () => (byHand = makeBundles(input, { solver: null }).allotment));
    const more = ((byHand.strandM / allotment.strandM - 1) * 100).toFixed(2);
    const gap = `${allotment.way}, gap ${(allotment.gap * 100).toFixed(3)} %`;
    const splits = (count: number) => (count === 0 ? "no tile split" : `${count} split`);
    return {
      what: `${what}, ${input.pattern.holes.length} strands to engines`,
      measured: `${(ms / 1000).toFixed(2)} s, ${gap}, ${splits(allotment.splitTiles.length)}, ${allotment.borders} borders`,
      goal,
      reference: `hand rules alone: ${(handMs / 1000).toFixed(2)} s, ${more} % more strand, ${splits(byHand.splitTiles.length)}, ${byHand.borders} borders`,
    };
  };
  return [
    line("60 tiles, 3 engines, 10 % spare", bundlesBench(10, 6, 3, 0.1), 3, "optimal in 2 s"),
    line("60 tiles, 3 engines, nothing spare", bundlesBench(10, 6, 3, 0), 3, ""),
    line("600 tiles, 20 engines, 10 % spare", bundlesBench(30, 20, 20, 0.1), 1, "30 s, gap shown"),
  ];
}
