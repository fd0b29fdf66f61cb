import type { Job } from "../../job/schema.ts";
import { writeJob } from "../../job/write.ts";

export const JOB_EXTENSION = ".velarium.json";

/** A job file that can be written back to, where the browser allows that. */
export type FileHandle = FileSystemFileHandle;

export interface OpenedFile {
  name: string;
  /** As they are: whether they are text at all is for the reader of jobs to say. */
  bytes: Uint8Array;
  handle: FileHandle | null;
}

interface PickerWindow {
  showOpenFilePicker?: (options: object) => Promise<FileHandle[]>;
  showSaveFilePicker?: (options: object) => Promise<FileHandle>;
}

const PICKER_TYPES = [
  { description: "Velarium job", accept: { "application/json": [JOB_EXTENSION as `.${string}`, ".json"] } },
];
const OPENED_TYPES = [
  {
    description: "Velarium job, or a drawing",
    accept: { "application/json": [JOB_EXTENSION, ".json"], "image/vnd.dxf": [".dxf"] },
  },
];

const PLAN_TYPE = {
  description: "Plan to trace: PDF or picture",
  accept: {
    "application/pdf": [".pdf"],
    "image/jpeg": [".jpg", ".jpeg"],
    "image/png": [".png"],
    "image/webp": [".webp"],
  },
};

/** Asks for a job file, a drawing or a plan to trace, or for such a plan alone; null when the person changes their mind. */
export async function pickFile(which: "any" | "plan" = "any"): Promise<OpenedFile | null> {
  const { showOpenFilePicker } = window as PickerWindow;
  const types = which === "plan" ? [PLAN_TYPE] : [...OPENED_TYPES, PLAN_TYPE];
  if (showOpenFilePicker === undefined) return pickByInput(types);
  try {
    const [handle] = await showOpenFilePicker({ types });
    if (handle === undefined) return null;
    const file = await handle.getFile();
    return { name: file.name, bytes: await bytesOf(file), handle };
  } catch (error) {
    if (isAbort(error)) return null;
    throw error;
  }
}

/** Writes the job to its file, or to one that the person names. Gives the handle to write to next time, if any. */
export async function saveFile(job: Job, handle: FileHandle | null): Promise<SavedFile | null> {
  const text = writeJob(job);
  const { showSaveFilePicker } = window as PickerWindow;
  if (handle === null && showSaveFilePicker === undefined) {
    download(fileName(job.title), text);
    return { name: fileName(job.title), handle: null };
  }
  try {
    const target =
      handle ?? (await showSaveFilePicker?.({ suggestedName: fileName(job.title), types: PICKER_TYPES }));
    if (!target) return null;
    const stream = await target.createWritable();
    await stream.write(text);
    await stream.close();
    return { name: target.name, handle: target };
  } catch (error) {
    if (isAbort(error)) return null;
    throw error;
  }
}

export interface SavedFile {
  name: string;
  handle: FileHandle | null;
}

/** A file name from a title: what no file system objects to. */
export function fileName(title: string): string {
  const words = title
    .normalize("NFKD")
    .replace(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^-+|-+$/g, "")
    .toLowerCase()
    .slice(0, 60);
  return `${words || "job"}${JOB_EXTENSION}`;
}

/** Hands a file to the browser to be saved where its downloads go. */
export function download(name: string, content: BlobPart, type = "application/json"): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([content], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

export const bytesOf = async (file: File): Promise<Uint8Array> => new Uint8Array(await file.arrayBuffer());

function pickByInput(
  types: readonly { accept: Record<string, readonly string[]> }[],
): Promise<OpenedFile | null> {
  return new Promise((done, fail) => {
    const input = document.createElement("input");
    input.type = "file";
    input.accept = types.flatMap(({ accept }) => Object.entries(accept).flat(2)).join(",");
    input.addEventListener("cancel", () => done(null));
    input.addEventListener("change", () => {
      const file = input.files?.[0];
      if (file === undefined) return done(null);
      bytesOf(file).then((bytes) => done({ name: file.name, bytes, handle: null }), fail);
    });
    input.click();
  });
}

function isAbort(error: unknown): boolean {
  return error instanceof DOMException && error.name === "AbortError";
}
