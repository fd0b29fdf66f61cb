import type { Ceiling } from "./ceiling/types.ts";
import type { Warning } from "./job/faults.ts";
import type { Job } from "./job/schema.ts";
import type { Night } from "./job/sections/sky.ts";
import type { Pattern } from "./pattern/types.ts";
import type { Projection, SkyFrame } from "./sky/types.ts";

/** A job worked out as far as its holes: what sheets, bundles, takeoff, scene and both shells are made from. */
export interface Plan {
  job: Job;
  /** The chosen option of job.sky. */
  night: Night;
  frame: SkyFrame;
  projection: Projection;
  ceiling: Ceiling;
  pattern: Pattern;
  warnings: Warning[];
}
