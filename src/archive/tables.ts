import type { Difference } from "../asBuilt/built.ts";
import { csvText } from "../sheets/tables.ts";
import type { Entry } from "../record/entry.ts";

const table = (head: readonly string[], rows: readonly (readonly (string | number)[])[]): string =>
  [head, ...rows].map((row) => `${row.map((cell) => csvText(String(cell))).join(",")}\r\n`).join("");

/** What is otherwise than planned. */
export const asBuiltCsv = (differences: readonly Difference[]): string =>
  table(["tile", "number", "kind", "words"], differences.map(({ tile, number, kind, words }) => [tile, number, kind, words])); // prettier-ignore

/** Every entry of the record, as told, for whoever has no program to read it. */
export function recordCsv(entries: readonly Entry[]): string {
  const rows = [...entries]
    .sort((a, b) => a.atMs - b.atMs || (a.id < b.id ? -1 : 1))
    .map((entry) => {
      const { id, atMs, who, device, revision, what, note = "", ...rest } = entry;
      const { tile = "", hole = "", holes = [], engine = "", ...more } = rest as Record<string, unknown> & { tile?: string; hole?: number | string; holes?: (number | string)[]; engine?: string }; // prettier-ignore
      delete more["knows"];
      const time = Math.abs(atMs) < 8.64e15 ? new Date(atMs).toISOString() : "";
      const other = Object.keys(more).length > 0 ? JSON.stringify(more) : "";
      return [id, time, who, device, revision, what, tile, engine, hole !== "" ? hole : holes.join(" "), other, note]; // prettier-ignore
    });
  return table(["entry", "time_utc", "who", "device", "revision", "what", "tile", "engine", "holes", "more", "note"], rows); // prettier-ignore
}
