import type { Fault } from "../../../job/faults.ts";
import { RECORD_FORMAT, writeRecord } from "../../../record/write.ts";
import { core } from "../../worker/client.ts";
import { download, fileName, JOB_EXTENSION, type OpenedFile } from "../files.ts";
import { say } from "../notices.svelte.ts";
import { workRecord } from "../record.svelte.ts";
import { studio } from "../studio.svelte.ts";
import { together } from "./together.svelte.ts";

const RECORD_EXTENSION = ".record.json";

/** The record of the open job as a file. */
async function recordFile(): Promise<File> {
  const { id = "", title } = studio.settledJob;
  await workRecord.open(studio.settledJob);
  const text = writeRecord({ job: { id, title }, entries: workRecord.entries });
  const name = fileName(title).replace(JOB_EXTENSION, RECORD_EXTENSION);
  return new File([text], name, { type: "application/json" });
}

export async function saveRecord(): Promise<void> {
  const file = await recordFile();
  download(file.name, file);
  say("record", `Saved as ${file.name}`);
}

/** Browsers hand files on to other programs only where the page came over a secure connection. */
export const sendsFiles = (): boolean =>
  typeof navigator.canShare === "function" &&
  navigator.canShare({ files: [new File(["{}"], `a${RECORD_EXTENSION}`, { type: "application/json" })] });

/** Hands the record to whatever the person picks: a message, a mail, a device nearby. */
export async function sendRecord(): Promise<void> {
  try {
    await navigator.share({ files: [await recordFile()], title: studio.settledJob.title });
  } catch (error) {
    // given up by the person
    if (error instanceof DOMException && error.name === "AbortError") return;
    say("record", "It could not be sent. Save it as a file instead.");
  }
}

/** Whether a file is a record, and no job: it says so at its beginning. */
export function isRecordFile({ bytes }: OpenedFile): boolean {
  const start = new TextDecoder().decode(bytes.subarray(0, 200));
  return new RegExp(`^\\uFEFF?\\s*\\{\\s*"format"\\s*:\\s*"${RECORD_FORMAT}"`).test(start);
}

/** Puts a record beside the one of the open job; gives the faults where it is refused, and nothing changes. */
export async function takeRecord({ name, bytes }: OpenedFile): Promise<Fault[]> {
  const job = studio.settledJob;
  await workRecord.open(job);
  const { id = "", title } = job;
  const answer = await core().readRecord(bytes, { job: { id, title }, entries: workRecord.entries });
  if (!answer.ok) return "faults" in answer ? answer.faults : [];
  const { entries, clock } = answer.value;
  const fresh = await workRecord.add(entries);
  if (fresh > 0) together.lookAgain();
  const known = entries.length - fresh;
  say("record", `${name}: ${fresh} entries added, ${known} were here already. ${clock}`.trim());
  return [];
}
