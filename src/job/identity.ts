import type { Job } from "./schema.ts";

/**
 * A job with an `id`: its own, or, for one that was never given any, a word made of title, client, room and outline, so
 * that two devices which open the same file mean the same job. Not meant against anybody's will (FNV-1a, Fowler, Noll
 * and Vo, in two lanes of 32 bits).
 */
export function withId(job: Job): Job {
  if (job.id !== undefined) return job;
  const { format, version, ...rest } = job;
  return {
    format,
    version,
    id: wordOf(JSON.stringify([job.title, job.client, job.room, job.ceiling.outlineMm])),
    ...rest,
  };
}

function wordOf(text: string): string {
  let [a, b] = [0x811c9dc5, 0x050c5d1f];
  for (let i = 0; i < text.length; i++) {
    a = Math.imul(a ^ text.charCodeAt(i), 0x01000193);
    b = Math.imul(b ^ text.charCodeAt(text.length - 1 - i), 0x01000193);
  }
  return [a, b].map((lane) => (lane >>> 0).toString(16).padStart(8, "0")).join("");
}
