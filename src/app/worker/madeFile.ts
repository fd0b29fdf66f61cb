import { zipSync, type Zippable } from "fflate";
import { CannotDo } from "../../job/faults.ts";
import { safeFileName } from "../../drawing/words.ts";
import type { Job } from "../../job/schema.ts";
import type { OutFile } from "../../sheets/files.ts";
import type { MadeFile } from "./api.ts";

const TYPES: Record<string, string> = {
  pdf: "application/pdf",
  zip: "application/zip",
  csv: "text/csv",
  svg: "image/svg+xml",
  dxf: "image/vnd.dxf",
};
/** The same job gives the same archive: every file in it bears this day. */
const FIXED_DAY = new Date(2000, 0, 1);

/** The one file that was asked for, under a name that tells the job's. Throws CannotDo where none was made. */
export function madeFile(
  job: Job,
  name: string,
  files: readonly OutFile[],
  warnings: readonly string[],
): MadeFile {
  const [file] = files;
  if (!file) throw new CannotDo("There is nothing to print.", "Look at the pattern and the engines: strands and tails have their own pages."); // prettier-ignore
  return {
    name: `${safeFileName(job.title).toLowerCase()}-${name}`,
    type: TYPES[name.split(".").at(-1) ?? ""] ?? "application/octet-stream",
    bytes: file.bytes,
    warnings: [...new Set(warnings)],
  };
}

/** Files as one archive. */
export function zipped(path: string, files: readonly OutFile[]): OutFile {
  const tree: Zippable = {};
  for (const file of files) tree[file.path] = file.bytes;
  return { path, bytes: zipSync(tree, { mtime: FIXED_DAY, level: 6 }) };
}
