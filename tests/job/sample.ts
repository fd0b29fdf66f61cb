import type { JobInput } from "../../src/job/schema.ts";
import { JOB_VERSION } from "../../src/job/version.ts";

/** A small sound job, invented: what the tests of this folder bend out of shape. */
export function sampleJob(): JobInput {
  return {
    format: "velarium.job",
    version: JOB_VERSION,
    title: "Small room",
    ceiling: {
      outlineMm: [
        [0, 0],
        [3000, 0],
        [3000, 2400],
        [0, 2400],
      ],
      grid: { moduleMm: [600, 600], originMm: [0, 0] },
    },
    sky: {
      chosen: "first",
      options: [
        {
          id: "first",
          place: { latDeg: 51.5, lonDeg: 10.2 },
          moment: { local: "2031-02-14T21:00:00", zone: "Europe/Berlin" },
        },
      ],
    },
    strands: {
      stock: [
        { diameterMm: 0.75, count: 120 },
        { diameterMm: 1, count: 20 },
      ],
    },
  };
}
