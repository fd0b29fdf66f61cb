import { CannotDo } from "../../job/faults.ts";
import type { Job } from "../../job/schema.ts";
import type { Night } from "../../job/sections/sky.ts";
import { planJob, type Plan } from "../../plan.ts";
import { catalogFor } from "./catalogFetch.ts";
import { Recent } from "./recent.ts";

/** Settled nights are kept, so that a change of seat or dimmer costs no new settling. */
const plans = new Recent<Promise<Plan>>(6);

/** A job with one of its nights on the ceiling, worked out as far as its holes. */
export function planOfNight(job: Job, nightId: string): Promise<Plan> {
  const night = job.sky.options.find((option) => option.id === nightId);
  if (!night) throw new CannotDo("That night is no longer in the job.", "Choose another.");
  const alone: Job = { ...job, sky: { ...job.sky, chosen: nightId, options: [night] } };
  const key = holesKey(job, night);
  const plan = plans.get(key) ?? catalogFor(alone).then((catalog) => planJob(alone, catalog));
  plans.set(key, plan);
  plan.catch(() => plans.delete(key));
  // Seats, dimmer and tint are the job's of now, whatever they were when the holes were settled.
  return plan.then((settled) => ({ ...settled, job: alone }));
}

/** All that a night's holes depend on. */
export function holesKey({ ceiling, strands, pattern }: Job, night: Night): string {
  return JSON.stringify([night, ceiling, strands, pattern]);
}
