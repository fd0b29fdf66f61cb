import type { Ceiling } from "../ceiling/types.ts";
import type { Job } from "../job/schema.ts";
import type { PatternInput } from "../pattern/pattern.ts";
import { projectSky } from "../sky/project.ts";
import { makeProjection } from "../sky/projection.ts";
import type { Catalog, SkyFrame } from "../sky/types.ts";

interface From {
  job: Job;
  night: Job["sky"]["options"][number];
  sky: SkyFrame;
  ceiling: Ceiling;
}

/** What holes are made from, but for which night it is: the sky of a night laid on the ceiling, and what the job says of strands and pattern. */
export function fromSky(
  { job, night, sky: frame, ceiling }: From,
  catalog: Catalog,
): Omit<PatternInput, "night"> {
  const projection = makeProjection(night.view, night.field, job.ceiling.bearingDeg, ceiling.box);
  const projected = projectSky(catalog, frame, projection, ceiling.box);
  const { strands, pattern } = job;
  return {
    catalog,
    figures: night.figures,
    frame,
    projection,
    projected,
    ceiling,
    strands,
    pattern,
  };
}
