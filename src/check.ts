import { ceilingFaults } from "./ceiling/faults.ts";
import { issuedTiles } from "./issue/packed.ts";
import { JobFaults, wordedIn } from "./job/faults.ts";
import type { Fault } from "./job/faults.ts";
import { examineJob } from "./job/read.ts";
import type { Job } from "./job/schema.ts";
import type { Night } from "./job/sections/sky.ts";
import { labelSheetOf } from "./bundles/labelStock.ts";
import { paperByName } from "./sheets/papers.ts";
import { resolveMoment } from "./sky/time.ts";

/** A job in which no fault was found. */
export interface CheckedJob {
  job: Job;
  /** The chosen sky. */
  night: Night;
  unknownKeys: string[];
  migrated: string[];
}

/**
 * Reads a job (text or UTF-8 bytes) and looks for every fault, whichever part of the program knows about
 * it: document, ceiling geometry, civil time, papers. Throws JobFaults with all of them at once.
 */
export function checkJob(input: string | Uint8Array): CheckedJob {
  const { job, parts, nights, faults, unknownKeys, migrated } = examineJob(input);
  const all = [
    ...faults,
    ...wordedIn(job?.units ?? "mm", parts.ceiling ? ceilingFaults(parts.ceiling) : []),
    ...nights.flatMap(({ path, night }) => faultsOf(() => resolveMoment(night.moment, `${path}.moment`))),
    ...(job ? faultsOf(() => issuedTiles(job.issued)) : []),
    ...(parts.sheets ? faultsOf(() => paperByName(parts.sheets?.paper ?? "")) : []),
    ...(parts.bundles ? faultsOf(() => labelSheetOf(parts.bundles?.labels.sheet ?? "")) : []),
  ];
  const night = job?.sky.options.find((option) => option.id === job.sky.chosen);
  if (all.length > 0 || !job || !night) throw new JobFaults(all);
  return { job, night, unknownKeys, migrated };
}

function faultsOf(run: () => unknown): Fault[] {
  try {
    run();
    return [];
  } catch (error) {
    if (error instanceof JobFaults) return error.faults;
    throw error;
  }
}
