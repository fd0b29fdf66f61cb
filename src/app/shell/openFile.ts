import type { Fault } from "../../job/faults.ts";
import { type OpenedFile } from "../state/files.ts";
import { isDrawing, openedDrawing } from "../state/openedDrawing.svelte.ts";
import { refusedFile } from "../state/refusedFile.svelte.ts";
import { studio } from "../state/studio.svelte.ts";

/**
 * Opens a job file, or shows every fault of it; a drawing is shown to be confirmed. The file is never written to, the open
 * job stays.
 */
export async function openFile(file: OpenedFile): Promise<Fault[]> {
  if (isDrawing(file.name, file.bytes)) {
    openedDrawing.current = { name: file.name, bytes: file.bytes };
    return [];
  }
  const faults = await studio.openBytes(file);
  refusedFile.current = faults.length > 0 ? { name: file.name, faults } : null;
  return faults;
}
