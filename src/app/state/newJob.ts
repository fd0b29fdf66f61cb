import type { Job, JobInput } from "../../job/schema.ts";
import { JOB_VERSION } from "../../job/version.ts";
import type { GridSystem } from "./commands/grid.ts";

/** A new room, before its survey: a rectangle, the grid, and what the installer keeps from job to job. */
export function newJob(
  title: string,
  widthMm: number,
  depthMm: number,
  system: GridSystem,
  usual: Pick<Job, "firm" | "units" | "strands" | "sky">,
): JobInput {
  const { moduleMm, tileMm, teeFaceMm } = system;
  return {
    format: "velarium.job",
    version: JOB_VERSION,
    title,
    firm: usual.firm,
    units: usual.units,
    ceiling: {
      outlineMm: [
        [0, 0],
        [widthMm, 0],
        [widthMm, depthMm],
        [0, depthMm],
      ],
      grid: { moduleMm, tileMm, teeFaceMm },
    },
    strands: usual.strands,
    sky: usual.sky,
  };
}
