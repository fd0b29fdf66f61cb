import { CannotDo } from "../../../../job/faults.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Planned } from "../../../../plan.ts";
import { choose, planned } from "../../../../work/stage.ts";
import { work } from "../../../worker/way.ts";

/** A job with one of its nights on the ceiling, worked out as far as its holes. */
export async function planOfNight(job: Job, nightId: string): Promise<Planned> {
  const known = job.sky.options.some((option) => option.id === nightId);
  if (!known) throw new CannotDo("That night is no longer in the job.", "Choose another.");
  return planned(await work.upTo(choose(job, nightId), "holes"));
}
