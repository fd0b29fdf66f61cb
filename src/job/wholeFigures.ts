import { filled } from "./usualPapers.ts";
import type { JobInput } from "./schema.ts";
import { ruleMm } from "./units.ts";
import { FACTS } from "../trade/facts.ts";

/** The whole feet nearest to the height that is assumed in metric. */
const ASSUMED_HEIGHT_MM = (Math.round(FACTS.ceilingHeightMm.value / 304.8) * 3048) / 10;

/** A new job with what it starts from in whole figures of its own units; what it states stays. */
export function withWholeFigures(job: JobInput): JobInput {
  if (job.units !== "ft-in") return job;
  const inFeet = {
    ceiling: { assumedHeightMm: ASSUMED_HEIGHT_MM },
    takeoff: { fabric: { wrapMm: ruleMm(FACTS.wrapMm.value, job.units) } },
  };
  return filled(job, inFeet) as JobInput;
}
