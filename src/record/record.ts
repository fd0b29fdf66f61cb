import { type Entry, entryText, idParts } from "./entry.ts";

/** What happened to one job, as far as this device has heard. */
export interface WorkRecord {
  job: RecordedJob;
  /** Each once, in one order: by run, number, text. */
  entries: readonly Entry[];
}

export interface RecordedJob {
  /** `id` of the job. */
  id: string;
  title: string;
}

export const emptyRecord = (job: RecordedJob): WorkRecord => ({ job, entries: [] });

/**
 * Both together: a union, so it does not matter who merges what with whom, when, or how often. Two entries that
 * share an id and nothing else (a device put back to an older state) are both kept.
 */
export function merged(record: WorkRecord, more: readonly Entry[]): WorkRecord {
  const fresh = unheard(record.entries, more);
  return fresh.length === 0 ? record : { job: record.job, entries: inOrder([...record.entries, ...fresh]) };
}

/** Those of `more` that are not among `entries`, each once. */
export function unheard(entries: readonly Entry[], more: readonly Entry[]): Entry[] {
  const heard = new Map<string, Entry | string[]>();
  for (const entry of entries) isNew(heard, entry);
  return more.filter((entry) => isNew(heard, entry));
}

/** Texts are compared only where ids are equal. */
function isNew(heard: Map<string, Entry | string[]>, entry: Entry): boolean {
  const before = heard.get(entry.id);
  if (before === undefined) {
    heard.set(entry.id, entry);
    return true;
  }
  if (before === entry) return false;
  const texts = Array.isArray(before) ? before : [entryText(before)];
  const text = entryText(entry);
  heard.set(entry.id, texts);
  if (texts.includes(text)) return false;
  texts.push(text);
  return true;
}

/** In the one order that a record has, whoever heard what first. */
export function inOrder(entries: readonly Entry[]): Entry[] {
  const keyed = entries.map((entry) => ({ entry, ...idParts(entry) }));
  keyed.sort((a, b) => compare(a.run, b.run) || a.n - b.n || compare(entryText(a.entry), entryText(b.entry)));
  return keyed.map(({ entry }) => entry);
}
const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** What a device has heard, shorter than the entries: by run, the numbers as first and last of unbroken rows. */
export type Heard = Record<string, [first: number, last: number][]>;

export function heardOf(entries: readonly Entry[]): Heard {
  const heard: Heard = {};
  for (const entry of inOrder(entries)) {
    const { run, n } = idParts(entry);
    const rows = (heard[run] ??= []);
    const row = rows.at(-1);
    if (row && n <= row[1] + 1) row[1] = Math.max(n, row[1]);
    else rows.push([n, n]);
  }
  return heard;
}

/** Entries whose ids another device has not heard. */
export function notHeard(entries: readonly Entry[], heard: Heard): Entry[] {
  return entries.filter((entry) => {
    const { run, n } = idParts(entry);
    const rows = Object.hasOwn(heard, run) ? heard[run]! : [];
    return !rows.some(([first, last]) => first <= n && n <= last);
  });
}
