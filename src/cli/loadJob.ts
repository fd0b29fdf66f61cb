import { needsDeepCatalog } from "../catalogDepth.ts";
import { checkJob } from "../check.ts";
import type { CheckedJob } from "../check.ts";
import type { Job } from "../job/schema.ts";
import type { Plan } from "../plan.ts";
import type { Catalog } from "../sky/types.ts";
import { loadCatalog } from "./catalogFiles.ts";
import { readJobFile } from "./jobFile.ts";
import type { Shell } from "./shell.ts";

/** Reads and checks a job file, and tells what is worth telling about it. Throws JobFaults. */
export async function loadJob(path: string, shell: Shell): Promise<CheckedJob> {
  const checked = checkJob(await readJobFile(path));
  for (const step of checked.migrated)
    shell.say(`Brought up to date in memory (${step}); the file is unchanged.`);
  return checked;
}

/**
 * From a job file to its holes, with the catalogue as deep as this job needs; `nightId` takes another of its
 * skies than the chosen one; `whenSound` is told of the job before the long work begins. Throws JobFaults, CannotDo.
 */
export async function loadPlan(
  path: string,
  shell: Shell,
  nightId?: string,
  whenSound?: (job: Job) => void,
): Promise<{ plan: Plan; catalog: Catalog }> {
  shell.progress("Reading the job");
  const { job: read, unknownKeys } = await loadJob(path, shell);
  whenSound?.(read);
  const { planJob, chosenNight } = await import("../plan.ts");
  const job = nightId === undefined ? read : { ...read, sky: { ...read.sky, chosen: nightId } };
  const night = chosenNight(job);
  shell.progress("Reading the stars");
  const catalog = await loadCatalog({ deep: needsDeepCatalog(job, night) });
  shell.progress("Settling holes");
  const plan = planJob(job, catalog);
  plan.warnings = [...unknownKeyWarnings(unknownKeys), ...plan.warnings];
  return { plan, catalog };
}

/** Keys we don't know are kept, but a misspelt one would be obeyed by nobody. */
export function unknownKeyWarnings(keys: readonly string[]): Plan["warnings"] {
  return keys.map((path) => ({
    code: "unknown-key",
    message: "This key is not known and changes nothing; it is kept. Is it misspelt?",
    path,
  }));
}
