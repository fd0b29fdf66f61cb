import { strToU8, zipSync, type Zippable } from "fflate";
import type { Difference } from "../asBuilt/built.ts";
import type { Job } from "../job/schema.ts";
import { writeJob } from "../job/write.ts";
import type { WorkRecord } from "../record/record.ts";
import { writeRecord } from "../record/write.ts";
import type { OutFile } from "../sheets/files.ts";
import { readingGuide } from "./guide.ts";
import { asBuiltCsv, recordCsv } from "./tables.ts";

/** Zips know no time before 1980 and no zone; the same job gives the same bytes, so every file says this. */
const FIXED_DAY = new Date(2000, 0, 1);

export interface ArchiveInput {
  job: Job;
  /** The published JSON Schema of the job. */
  schema: object;
  record: WorkRecord | null;
  differences: readonly Difference[];
  /** Papers, tables and drawings, each with what it is. */
  files: readonly (OutFile & { what: string })[];
  /** The day, as 2031-02-14. */
  on: string;
}

/** One archive of a finished job that needs no program of ours to be read. `sha256` gives a sum in hexadecimal digits. */
export function archiveOf(
  { job, schema, record, differences, files, on }: ArchiveInput,
  sha256: (bytes: Uint8Array) => string,
): Uint8Array {
  const text = (path: string, what: string, words: string) => ({ path, what, bytes: strToU8(words) });
  const kept = [
    ...files,
    text("job/job.velarium.json", "the job as Velarium opens it", writeJob(job)),
    text(
      "job/velarium-job.schema.json",
      "what every key of the job means",
      `${JSON.stringify(schema, null, 2)}\n`,
    ),
    ...(record
      ? [
          text("tables/as-built.csv", "what differs from the plan", asBuiltCsv(differences)),
          text(
            "record/record.csv",
            "everything that was told of the work, a line each",
            recordCsv(record.entries),
          ),
          text("record/job.record.json", "the record as Velarium opens it", writeRecord(record)),
        ]
      : []),
  ].sort((a, b) => (a.path < b.path ? -1 : 1));
  const guide = text("READ-ME-FIRST.txt", "this guide", "");
  const list = [guide, ...kept].map(({ path, what }) => ({ path, what }));
  guide.bytes = strToU8(readingGuide(job, list, on));
  const all = [guide, ...kept];
  const sums = all.map(({ path, bytes }) => `${sha256(bytes)}  ${path}\n`).join("");
  const tree: Zippable = {};
  for (const { path, bytes } of [...all, text("files.sha256", "", sums)]) tree[path] = bytes;
  return zipSync(tree, { mtime: FIXED_DAY, level: 6 });
}
