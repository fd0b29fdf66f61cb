import type { Ceiling } from "./ceiling/types.ts";
import type { Warning } from "./job/faults.ts";
import type { Job } from "./job/schema.ts";
import type { Night } from "./job/sections/sky.ts";
import type { Pattern } from "./pattern/types.ts";
import type { Projection, SkyFrame } from "./sky/types.ts";

/** What was made of a job as far as its holes. It does not know the job: the same holes may serve a newer one. */
export interface Plan {
  frame: SkyFrame;
  projection: Projection;
  ceiling: Ceiling;
  pattern: Pattern;
  warnings: Warning[];
}

/** A plan with the job it belongs to, as bundles, sheets, scene and choose take it. Only `src/work` puts them together. */
export interface Planned extends Plan {
  job: Job;
  /** The chosen option of job.sky. */
  night: Night;
}
