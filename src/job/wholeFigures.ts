import { filled } from "./usualPapers.ts";
import type { JobInput } from "./schema.ts";
import { ruleMm } from "./units.ts";
import { FACTS } from "../trade/facts.ts";

/** 9 ft: the height nearest to the one assumed in metric that is a whole figure in feet. */
const NINE_FEET_MM = 2743.2;

/** A new job with what it starts from in whole figures of its own units; what it states stays. */
export function withWholeFigures(job: JobInput): JobInput {
  if (job.units !== "ft-in") return job;
  const inFeet = {
    ceiling: { assumedHeightMm: NINE_FEET_MM },
    takeoff: { fabric: { wrapMm: ruleMm(FACTS.wrapMm.value, job.units) } },
  };
  return filled(job, inFeet) as JobInput;
}
