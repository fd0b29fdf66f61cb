import { checkJob } from "../check.ts";
import type { CheckedJob } from "../check.ts";
import { readJobFile } from "./jobFile.ts";
import type { Shell } from "./shell.ts";

/** Reads and checks a job file, and tells what is worth telling about it. Throws JobFaults. */
export async function loadJob(path: string, shell: Shell): Promise<CheckedJob> {
  const checked = checkJob(await readJobFile(path));
  for (const step of checked.migrated)
    shell.say(`Brought up to date in memory (${step}); the file is unchanged.`);
  return checked;
}
