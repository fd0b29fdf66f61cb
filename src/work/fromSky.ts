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

/** The sky as it was last laid on a ceiling: where the pattern alone changes, nothing is projected anew. */
interface Laid extends Pick<PatternInput, "projection" | "projected" | "ceiling" | "catalog"> {
  /** View, field and bearing. */
  how: string;
}
const LAID = new WeakMap<SkyFrame, Laid>();

function laid({ job, night, sky, ceiling }: From, catalog: Catalog): Laid {
  const { bearingDeg } = job.ceiling;
  const how = JSON.stringify([night.view, night.field, bearingDeg]);
  const last = LAID.get(sky);
  if (last?.ceiling === ceiling && last.catalog === catalog && last.how === how) return last;
  const projection = makeProjection(night.view, night.field, bearingDeg, ceiling.box);
  const projected = projectSky(catalog, sky, projection, ceiling.box);
  const made = { projection, projected, ceiling, catalog, how };
  LAID.set(sky, made);
  return made;
}

/** What holes are made from, but for which night it is: the sky of a night laid on the ceiling, and what the job says of strands and pattern. */
export function fromSky(from: From, catalog: Catalog): Omit<PatternInput, "night"> {
  const { projection, projected } = laid(from, catalog);
  const { job, night, sky: frame, ceiling } = from;
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
