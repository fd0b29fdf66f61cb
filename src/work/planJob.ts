import type { Job } from "../job/schema.ts";
import type { Planned } from "../plan.ts";
import type { Catalog } from "../sky/types.ts";
import { choose, planned } from "./stage.ts";
import { TABLE } from "./table.ts";
import { jobWarnings } from "./warnings.ts";

/**
 * The way from a checked job (`checkJob`) to its holes, at once and for one time; the same job and catalogue give
 * the same bytes in every engine. Throws JobFaults for a job that can't be read as a sky or a ceiling, CannotDo
 * where a sound job asks for the impossible. `stop` is called often and may throw to give the plan up.
 */
export function planJob(job: Job, catalog: Catalog, stop?: () => void): Planned {
  const chosen = { ...choose(job), warnings: {}, ...(stop && { stop }) };
  const sky = TABLE.sky.make(chosen, null);
  const ceiling = TABLE.ceiling.make(chosen, null);
  const holes = TABLE.holes.make({ ...chosen, sky, ceiling }, catalog);
  const warnings = {
    job: jobWarnings(job),
    sky: TABLE.sky.warnings!(chosen, sky),
    ceiling: TABLE.ceiling.warnings!(chosen, ceiling),
    holes: TABLE.holes.warnings!({ ...chosen, sky, ceiling }, holes),
  };
  return planned({ ...chosen, sky, ceiling, holes, warnings });
}
