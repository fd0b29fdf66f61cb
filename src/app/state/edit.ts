import type { Job } from "../../job/schema.ts";

/**
 * What a command gives back: the job after it, and the words that undo will show.
 * Two edits in a row with the same `merge` word become one step (a thing nudged ten times with the keys).
 */
export interface Edit {
  name: string;
  job: Job;
  merge?: string;
}

/** A command refused: says why, so that the field that asked can show it. Nothing changes. */
export class Refusal extends Error {
  override name = "Refusal";
}

/** The job with some keys of its ceiling replaced. */
export function withCeiling(job: Job, change: Partial<Job["ceiling"]>): Job {
  return { ...job, ceiling: { ...job.ceiling, ...change } };
}
