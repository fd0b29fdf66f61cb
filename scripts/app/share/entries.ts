import { type Entry, entryText } from "../../../src/record/entry.ts";
import { entrySchema } from "../../../src/record/entrySchema.ts";

/** Entries of a record as they are kept: one text each, the same for the same entry; or what is wrong with one. */
export function entriesOf(body: unknown): { texts: string[]; fault: string | null } {
  const { entries } = body as { entries?: unknown };
  if (!Array.isArray(entries)) return { texts: [], fault: "a list of entries is missing" };
  const texts: string[] = [];
  for (const entry of entries) {
    const read = entrySchema.safeParse(entry);
    if (!read.success) {
      const { path, message } = read.error.issues[0]!;
      return {
        texts: [],
        fault: `${JSON.stringify(entry).slice(0, 80)} is no entry (${path.join(".")}: ${message})`,
      };
    }
    texts.push(entryText(read.data as Entry));
  }
  return { texts, fault: null };
}
