import type { Fault } from "../../job/faults.ts";
import { desk } from "../state/desk.svelte.ts";
import { type OpenedFile, pickFile } from "../state/files.ts";
import { say } from "../state/notices.svelte.ts";
import { isDrawing, openedDrawing } from "../state/openedDrawing.svelte.ts";
import { openedPlan, planKind } from "../state/openedPlan.svelte.ts";
import { refusedFile } from "../state/refusedFile.svelte.ts";
import { isRecordFile, takeRecord } from "../state/share/recordFiles.ts";
import { studio } from "../state/studio.svelte.ts";

/**
 * Opens a job file, or puts a record beside that of the open job; shows every fault where it is refused. A drawing is
 * shown to be confirmed, a PDF or a picture of a plan is laid beneath the survey. The file is never written to, the open job stays.
 */
export async function openFile(file: OpenedFile): Promise<Fault[]> {
  if (isDrawing(file.name, file.bytes)) {
    openedDrawing.current = { name: file.name, bytes: file.bytes };
    return [];
  }
  if (planKind(file.bytes) !== null) {
    openedPlan.current = { name: file.name, bytes: file.bytes };
    desk.part = "survey";
    desk.open("underlay");
    return [];
  }
  const faults = isRecordFile(file) ? await takeRecord(file) : await studio.openBytes(file);
  refusedFile.current = faults.length > 0 ? { name: file.name, faults } : null;
  return faults;
}

/** Asks for a file and opens it; whether that was done. */
export async function openPicked(): Promise<boolean> {
  try {
    const file = await pickFile();
    return file !== null && (await openFile(file)).length === 0;
  } catch {
    say("refused", "That file could not be read.");
    return false;
  }
}
