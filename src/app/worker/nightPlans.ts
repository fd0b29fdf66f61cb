import { CannotDo } from "../../job/faults.ts";
import type { Job } from "../../job/schema.ts";
import { planJob, type Plan } from "../../plan.ts";
import { catalogFor } from "./catalogFetch.ts";

/** Settled nights are kept, so that a change of seat or dimmer costs no new settling. */
const KEPT = 6;
const plans = new Map<string, Promise<Plan>>();

/** A job with one of its nights on the ceiling, worked out as far as its holes. */
export function planOfNight(job: Job, nightId: string): Promise<Plan> {
  const night = job.sky.options.find((option) => option.id === nightId);
  if (!night) throw new CannotDo("That night is no longer in the job.", "Choose another.");
  const alone: Job = { ...job, sky: { ...job.sky, chosen: nightId, options: [night] } };
  const { ceiling, strands, pattern } = job;
  const key = JSON.stringify([night, ceiling, strands, pattern]);
  const known = plans.get(key);
  // Deleted and set again, so that the map runs from the longest unused to the newest.
  plans.delete(key);
  const plan = known ?? catalogFor(alone).then((catalog) => planJob(alone, catalog));
  plans.set(key, plan);
  plan.catch(() => plans.delete(key));
  for (const old of plans.keys()) {
    if (plans.size <= KEPT) break;
    plans.delete(old);
  }
  // Seats, dimmer and tint are the job's of now, whatever they were when the holes were settled.
  return plan.then((settled) => ({ ...settled, job: alone }));
}
