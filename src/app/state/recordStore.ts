import { type DBSchema, type IDBPDatabase, openDB } from "idb";
import { type Entry, entryText } from "../../record/entry.ts";
import { written } from "./storage.ts";

interface RecordDb extends DBSchema {
  /** By [job id, text of the entry]: told twice, kept once. */
  entries: { key: [string, string]; value: Entry };
}

/** Entries of every job's record, in this browser, apart from the jobs: undoing a design takes none of them back. */
export class RecordStore {
  #db: Promise<IDBPDatabase<RecordDb>> | null = null;
  #connected(): Promise<IDBPDatabase<RecordDb>> {
    this.#db ??= openDB<RecordDb>("velarium-record", 1, {
      upgrade: (fresh) => void fresh.createObjectStore("entries"),
      blocking: (_now, _wanted, event) => {
        (event.target as IDBDatabase).close();
        this.#db = null;
      },
      // the browser took the store away from under the page: the next call connects anew
      terminated: () => (this.#db = null),
    });
    this.#db.catch(() => (this.#db = null));
    return this.#db;
  }

  async load(jobId: string): Promise<Entry[]> {
    return (await this.#connected()).getAll("entries", IDBKeyRange.bound([jobId], [jobId, []]));
  }

  /** All or none; resolved when they are on the disk, not only on their way there. */
  async add(jobId: string, entries: readonly Entry[]): Promise<void> {
    const tx = (await this.#connected()).transaction("entries", "readwrite", { durability: "strict" });
    await written(
      tx,
      entries.map((entry) => tx.store.put(entry, [jobId, entryText(entry)])),
    );
  }
}
