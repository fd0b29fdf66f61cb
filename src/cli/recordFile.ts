import type { Job } from "../job/schema.ts";
import type { Entry } from "../record/entry.ts";
import { readRecord, takeOver, TOO_LARGE } from "../record/read.ts";
import { emptyRecord, type WorkRecord } from "../record/record.ts";
import { readInput } from "./jobFile.ts";

/** What `--record` gives the printing of a job: nothing where it was not said. */
export async function recordFor(job: Job, path: string | undefined): Promise<{ record?: readonly Entry[] }> {
  return path === undefined ? {} : { record: (await readRecordOf(job, path)).entries };
}

/** The record of a job out of its file. Throws JobFaults for one of another job, and for what can't be read whole. */
export async function readRecordOf({ id = "", title }: Job, path: string): Promise<WorkRecord> {
  const next = "Check the name; the bench saves it.";
  const bytes = await readInput(path, "a record that can be read", next, TOO_LARGE);
  return takeOver(emptyRecord({ id, title }), readRecord(bytes));
}
