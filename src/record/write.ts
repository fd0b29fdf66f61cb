import { type Entry, ENTRY_KEYS, type HoleRef, idParts } from "./entry.ts";
import { emptyRecord, merged, type WorkRecord } from "./record.ts";

/** How a file says that it is a record. Apart from its reading, for the page, which runs no schema. */
export const RECORD_FORMAT = "velarium.record";
export const RECORD_VERSION = 1;

/** Entries of one run, person and revision together. */
interface Group {
  run: string;
  who: string;
  device: string;
  revision: number;
  fromMs: number;
  entries: unknown[][];
}

/**
 * A record as text: entries of one run, person and revision together, one a line as [number, milliseconds since the
 * line before, what, tile, holes, more]. The same entries give the same text.
 */
export function writeRecord({ job, entries }: WorkRecord): string {
  const runs: Group[] = [];
  let at = 0;
  for (const entry of merged(emptyRecord(job), entries).entries) {
    const { run, n } = idParts(entry);
    const { atMs, who, device, revision, what } = entry;
    const group = { run, who, device, revision };
    const open = runs.at(-1);
    const same = open && KEYS.every((key) => open[key] === group[key]);
    if (!same) runs.push({ ...group, fromMs: (at = atMs), entries: [] });
    runs.at(-1)!.entries.push([n, atMs - at, what, ...packed(entry)]);
    at = atMs;
  }
  const lines = runs.map(({ entries: rows, ...group }) => {
    const head = JSON.stringify(group).slice(0, -1);
    return `${head},"entries":[\n${rows.map((row) => JSON.stringify(row, ENTRY_KEYS)).join(",\n")}]}`;
  });
  const head = { format: RECORD_FORMAT, version: RECORD_VERSION, job, count: entries.length };
  return `${JSON.stringify(head).slice(0, -1)},"runs":[\n${lines.join(",\n")}\n]}\n`;
}
const KEYS = ["run", "who", "device", "revision"] as const;

/** Tile, holes and what is left, shortened from behind. */
function packed(entry: Entry): unknown[] {
  const { tile, hole, holes } = entry as Partial<{ tile: string; hole: HoleRef; holes: HoleRef[] }>;
  const rest = Object.entries(entry).filter(([key]) => !TOLD.has(key));
  const fields: unknown[] = [tile ?? 0, hole ?? (holes ? ranges(holes) : 0)];
  if (rest.length > 0) fields.push(Object.fromEntries(rest));
  while (fields.length > 0 && fields.at(-1) === 0) fields.pop();
  return fields;
}
/** Keys that have their place in the row, or in the head of its run. */
const TOLD = new Set(["id", "atMs", "who", "device", "revision", "what", "tile", "hole", "holes"]);

/** Holes in their order as a text: "1-12,14", ids as they are. */
function ranges(holes: readonly HoleRef[]): string {
  const parts: [HoleRef, HoleRef][] = [];
  for (const hole of holes) {
    const last = parts.at(-1);
    if (last && typeof hole === "number" && typeof last[1] === "number" && hole === last[1] + 1)
      last[1] = hole;
    else parts.push([hole, hole]);
  }
  return parts
    .map(([a, b]) => (a === b ? (typeof a === "string" ? `+${a}` : `${a}`) : `${a}-${b}`))
    .join(",");
}
