import type { Job } from "./schema.ts";

/** The job as text: two spaces, keys in the schema's order, defaults and unknown keys included. */
export function writeJob(job: Job): string {
  return JSON.stringify(job, null, 2) + "\n";
}
