import { z } from "zod";
import { JobFaults } from "../job/faults.ts";
import { readJson } from "../job/json.ts";
import { shorten } from "../job/documentSchema.ts";
import { pathText } from "../job/schemaFaults.ts";
import { type Entry, type HoleRef, isHoleStep } from "./entry.ts";
import { entrySchema, MOST_HOLES } from "./entrySchema.ts";
import { emptyRecord, merged, type WorkRecord } from "./record.ts";
import { RECORD_FORMAT, RECORD_VERSION } from "./write.ts";

/** Larger files are refused unread, and longer ones whole: 5,000 holes come to some 20,000 entries. */
export const MOST_RECORD_BYTES = 8 * 1024 * 1024;
export const MOST_ENTRIES = 100_000;
/** Holes that all entries of a file name, each as often as it is named. */
const MOST_NAMED = 2_000_000;

const rowSchema = z.tuple([z.int(), z.number(), z.string()], z.unknown());
const groupSchema = z.strictObject({
  run: z.string(),
  who: z.string(),
  device: z.string(),
  revision: z.number(),
  fromMs: z.number(),
  entries: z.array(rowSchema).max(MOST_ENTRIES),
});
const fileSchema = z.looseObject({
  job: z.looseObject({ id: z.string().min(1).max(64), title: z.string().max(200) }),
  count: z.int().min(0),
  runs: z.array(groupSchema),
});
type Group = z.output<typeof groupSchema>;

/** Holes of a text as `writeRecord` makes it; [NaN], which no schema takes, for any other. */
function holesOf(text: string): HoleRef[] {
  const holes: HoleRef[] = [];
  for (const part of text.split(",")) {
    const [from = NaN, to = from] = part.startsWith("+") ? [] : part.split("-").map(Number);
    if (part.startsWith("+")) holes.push(part.slice(1));
    else if (to >= from && to - from <= MOST_HOLES)
      for (let hole = from; hole <= to; hole++) holes.push(hole);
    else return [NaN];
    if (holes.length > MOST_HOLES) return [NaN];
  }
  return holes;
}

export const TOO_LARGE =
  "Nothing was added. A record of 5,000 holes is about 1 MB: is this one really yours?";

/** Nobody mends a record by hand: one that is no JSON came only in part, or is another file. */
function jsonOf(input: string | Uint8Array): unknown {
  try {
    return readJson(input);
  } catch (error) {
    if (!(error instanceof JobFaults)) throw error;
    throw new JobFaults(error.faults.map((fault) => ({ ...fault, next: `The file is damaged, or half of it is missing. ${MEND}` }))); // prettier-ignore
  }
}

/** Reads a record whole, or throws JobFaults with the first things that are wrong with it. */
export function readRecord(input: string | Uint8Array): WorkRecord {
  const size = typeof input === "string" ? input.length : input.byteLength;
  if (size > MOST_RECORD_BYTES)
    refuse("(file)", `at most ${MOST_RECORD_BYTES / 1024 / 1024} MB`, `${(size / 1024 / 1024).toFixed(1)} MB`, TOO_LARGE); // prettier-ignore
  const document = jsonOf(input);
  envelope(document);
  const read = fileSchema.safeParse(document);
  if (!read.success) {
    const { path, message } = read.error.issues[0]!;
    return refuse(pathText(path), "a record as Velarium writes it", message, MEND);
  }
  const { job, count, runs } = read.data;
  const held = runs.reduce((sum, { entries }) => sum + entries.length, 0);
  if (held > MOST_ENTRIES)
    refuse("runs", `at most ${MOST_ENTRIES} entries`, `${held}`, "Nothing was added. Ask whoever sent it for the record of this job alone."); // prettier-ignore
  if (held !== count)
    refuse("count", `${count} entries, as it says itself`, `${held}`, "A part of it is missing: have it sent once more. Nothing was added."); // prettier-ignore
  const budget = { holes: MOST_NAMED };
  const entries = runs.flatMap((group, i) => group.entries.reduce<Entry[]>(unpack(group, i, budget), []));
  return merged(emptyRecord({ id: job.id, title: job.title }), entries);
}

const MEND = "Have it sent once more. Nothing was added.";

function unpack({ run, who, device, revision, fromMs }: Group, i: number, budget: { holes: number }) {
  let at = fromMs;
  return (entries: Entry[], row: z.output<typeof rowSchema>, k: number): Entry[] => {
    const [n, afterMs, what, tile, place, rest] = row;
    at += afterMs;
    const many = what === "undone" || isHoleStep(what);
    const entry = {
      ...(typeof rest === "object" ? rest : {}),
      ...{ id: `${run}-${n}`, atMs: at, who, device, revision, what },
      ...(typeof tile === "string" ? { tile } : {}),
      ...(place === undefined || place === 0
        ? {}
        : many
          ? { holes: holesOf(String(place)) }
          : { hole: place }),
    };
    const read = entrySchema.safeParse(entry);
    if (!read.success) {
      const { path, message } = read.error.issues[0]!;
      return refuse(`runs[${i}].entries[${k}]`, "an entry as Velarium writes it", `${pathText(path)}: ${message}, in ${shorten(row)}`, MEND); // prettier-ignore
    }
    budget.holes -= "holes" in read.data ? (read.data.holes?.length ?? 0) : 0;
    if (budget.holes < 0) refuse(`runs[${i}].entries[${k}]`, `at most ${MOST_NAMED} holes named in all`, "more", "Nothing was added."); // prettier-ignore
    entries.push(read.data);
    return entries;
  };
}

function envelope(document: unknown): void {
  const { format, version } = (document ?? {}) as { format?: unknown; version?: unknown };
  if (format !== RECORD_FORMAT)
    refuse("format", RECORD_FORMAT, shorten(format), "Choose the record of a job, as the bench saves it.");
  if (typeof version !== "number" || !Number.isInteger(version) || version < 1)
    refuse("version", `a whole number from 1 to ${RECORD_VERSION}`, shorten(version), MEND);
  if ((version as number) > RECORD_VERSION)
    refuse("version", `at most ${RECORD_VERSION}`, `version ${String(version)}, of a newer Velarium`, "Open it with that newer Velarium. Nothing was added."); // prettier-ignore
}

/** What comes from another device, put beside one's own. Throws JobFaults where it is another job's. */
export function takeOver(record: WorkRecord, other: WorkRecord): WorkRecord {
  if (other.job.id !== record.job.id)
    refuse("job", `the record of “${record.job.title}”`, `that of “${other.job.title}”`, "Open that job first, or have the record of this one sent. Nothing was added."); // prettier-ignore
  const both = merged(record, other.entries);
  if (both.entries.length > MOST_ENTRIES)
    refuse("runs", `at most ${MOST_ENTRIES} entries together`, `${both.entries.length}`, "Nothing was added."); // prettier-ignore
  return both;
}

function refuse(path: string, expected: string, got: string, next: string): never {
  throw new JobFaults([{ path, expected, got, next }]);
}
