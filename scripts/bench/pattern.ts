import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { jobSchema, type Job, type JobInput } from "../../src/job/schema.ts";
import { JOB_VERSION } from "../../src/job/version.ts";
import { makePattern, type PatternInput } from "../../src/pattern/pattern.ts";
import { skyFrame } from "../../src/sky/frame.ts";
import type { Catalog } from "../../src/sky/types.ts";
import { fromSky } from "../../src/work/fromSky.ts";

export interface PatternTiming {
  strands: number;
  tiles: number;
  /** Median of the warm runs. */
  ms: number;
  holes: number;
  stars: number;
  /** Milliseconds per n log2 n, in nanoseconds: level where growth is n log n. */
  nsPerNLogN: number;
  rssMb: number;
}

/** An invented rectangular room of so many 600 mm tiles, with a light or a sprinkler in every twelfth. */
export function benchJob(columns: number, rows: number, strands: number): Job {
  const noGo: NonNullable<JobInput["ceiling"]["noGo"]> = [];
  for (let k = 5; k < columns * rows; k += 12) {
    const x = (k % columns) * 600 + 300;
    const y = Math.floor(k / columns) * 600 + 300;
    if (k % 24 === 5)
      noGo.push({ kind: "sprinkler", circle: { centreMm: [x, y], radiusMm: 40 }, clearanceMm: 50 });
    else
      noGo.push({
        kind: "luminaire",
        rectangle: { cornerMm: [x - 150, y - 150], sizeMm: [300, 300], turnDeg: k % 90 },
        clearanceMm: 25,
      });
  }
  const thick = Math.round(strands * 0.036);
  const middle = Math.round(strands * 0.145);
  return jobSchema.parse({
    format: "velarium.job",
    version: JOB_VERSION,
    title: "bench",
    ceiling: {
      outlineMm: [[0, 0], [columns * 600, 0], [columns * 600, rows * 600], [0, rows * 600]], // prettier-ignore
      bearingDeg: 29,
      grid: { moduleMm: [600, 600], originMm: [0, 0] },
      noGo: noGo.slice(0, 2000),
    },
    sky: {
      chosen: "a",
      options: [
        {
          id: "a",
          place: { latDeg: 47, lonDeg: 8 },
          moment: { utc: "2031-08-14T21:00:00Z" },
        },
      ],
    },
    strands: {
      stock: [
        { diameterMm: 0.75, count: strands - middle - thick },
        { diameterMm: 1, count: middle },
        { diameterMm: 1.5, count: thick },
      ],
    },
  } satisfies JobInput);
}

/** Everything that goes before the pattern. */
export function patternInput(catalog: Catalog, job: Job): PatternInput {
  const night = job.sky.options.find(({ id }) => id === job.sky.chosen)!;
  const given = { job, night, sky: skyFrame(night), ceiling: makeCeiling(job.ceiling) };
  return { night: night.id, ...fromSky(given, catalog) };
}

/** Placement alone, from projected sky to holes, from 1,000 to 100,000 strands at the same density. */
export async function benchPattern(
  sizes: [columns: number, rows: number, strands: number, runs: number][] = [
    [8, 6, 1590, 9],
    [6, 5, 1000, 9],
    [20, 15, 10_000, 3],
    [60, 50, 100_000, 1],
  ],
): Promise<PatternTiming[]> {
  const catalog = await loadCatalog({ deep: true });
  return sizes.map(([columns, rows, strands, runs]) => {
    const input = patternInput(catalog, benchJob(columns, rows, strands));
    if (runs > 1) for (let warm = 0; warm < 3; warm++) makePattern(input);
    const times: number[] = [];
    let holes = 0;
    let stars = 0;
    for (let run = 0; run < runs; run++) {
      const start = performance.now();
      const pattern = makePattern(input);
      times.push(performance.now() - start);
      holes = pattern.holes.length;
      stars = pattern.fidelity.stars;
    }
    const ms = times.sort((p, q) => p - q)[Math.floor(runs / 2)]!;
    return {
      strands,
      tiles: columns * rows,
      ms,
      holes,
      stars,
      nsPerNLogN: (ms * 1e6) / (strands * Math.log2(strands)),
      rssMb: process.memoryUsage.rss() / 2 ** 20,
    };
  });
}
