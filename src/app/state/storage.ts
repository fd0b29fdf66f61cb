import { type DBSchema, type IDBPDatabase, openDB } from "idb";
import { type History, presentJob, type Step, thinned } from "./history.ts";

/** A job kept in this browser. */
export interface JobEntry {
  id: string;
  title: string;
  client: string;
  room: string;
  /** Milliseconds since 1970. */
  savedAtMs: number;
  /** Counts every save of this entry, by whichever tab; a save that expects another number is refused. */
  saves: number;
  /** The present step. */
  at: number;
}

interface StudioDb extends DBSchema {
  jobs: { key: string; value: JobEntry };
  /** Every step of every job's history, by [job id, number]: an edit writes one row. */
  steps: { key: [string, number]; value: Step };
}

/** What each version of the layout adds to the one before; whatever a browser kept goes through those it lacks. */
const LAYOUTS: readonly ((db: IDBPDatabase<StudioDb>) => void)[] = [
  (db) => {
    db.createObjectStore("jobs", { keyPath: "id" });
    db.createObjectStore("steps");
  },
];

/** Another tab has changed the job since this one last saw it. */
export class ChangedElsewhere extends Error {
  override name = "ChangedElsewhere";
}

/** The job is not in the store any more: removed in another tab, or everything was cleared. */
export class GoneFromStore extends Error {
  override name = "GoneFromStore";
}

/** The jobs kept in this browser. Every method rejects when the browser denies or lacks the room. */
export class JobStore {
  private db: IDBPDatabase<StudioDb> | null = null;
  /** Called when the browser took the store away from under the page; the next call connects anew. */
  private readonly onLost: () => void;

  private constructor(onLost: () => void) {
    this.onLost = onLost;
  }

  static async open(onLost: () => void = () => undefined): Promise<JobStore> {
    const store = new JobStore(onLost);
    await store.connected();
    return store;
  }

  private async connected(): Promise<IDBPDatabase<StudioDb>> {
    return (this.db ??= await openDB<StudioDb>("velarium", LAYOUTS.length, {
      upgrade(db, oldVersion) {
        LAYOUTS.slice(oldVersion).forEach((lay) => lay(db));
      },
      // A newer tab needs a newer layout: let go at once, it will not wait.
      blocking: (_now, _wanted, event) => {
        (event.target as IDBDatabase).close();
        this.db = null;
      },
      terminated: () => {
        this.db = null;
        this.onLost();
      },
    }));
  }

  /** The one changed last comes first. */
  async list(): Promise<JobEntry[]> {
    const entries = await (await this.connected()).getAll("jobs");
    return entries.sort((a, b) => b.savedAtMs - a.savedAtMs || (a.id < b.id ? -1 : 1));
  }

  /** The job with its steps, all but the present one unread. A history without limit, as once kept, is thinned first. */
  async load(id: string): Promise<{ entry: JobEntry; history: History } | null> {
    const tx = (await this.connected()).transaction(["jobs", "steps"], "readwrite");
    const [jobs, rows] = [tx.objectStore("jobs"), tx.objectStore("steps")];
    let entry = await jobs.get(id);
    const keys = await rows.getAllKeys(rowsOf(id));
    const present = keys[entry?.at ?? -1];
    if (entry === undefined || present === undefined) {
      await tx.done;
      return null;
    }
    const kept = thinned(keys, present);
    const found = kept.length === keys.length ? await rows.getAll(rowsOf(id)) : await readAll(kept, (key) => rows.get(key)); // prettier-ignore
    if (kept.length < keys.length) {
      entry = { ...entry, at: kept.indexOf(present), saves: entry.saves + 1 };
      await Promise.all([jobs.put(entry), rows.delete(rowsOf(id))]);
      await Promise.all(found.map((step, i) => rows.put(step, [id, i])));
    }
    await tx.done;
    const { at } = entry;
    const steps = found.map((step, i): Step => (i === at ? step : { ...step, unread: true }));
    return { entry, history: { steps, at } };
  }

  /**
   * Writes what changed between two states of a history, in one transaction: all or nothing.
   * `before` null writes a new entry. Throws ChangedElsewhere when the entry is not at `saves` any more,
   * GoneFromStore when there is none.
   */
  async save(
    id: string,
    before: History | null,
    after: History,
    saves: number,
    nowMs: number,
  ): Promise<JobEntry> {
    const job = presentJob(after);
    const entry: JobEntry = {
      id,
      title: job.title,
      client: job.client,
      room: job.room,
      savedAtMs: nowMs,
      saves: saves + 1,
      at: after.at,
    };
    const tx = (await this.connected()).transaction(["jobs", "steps"], "readwrite");
    const found = await tx.objectStore("jobs").get(id);
    if ((found?.saves ?? 0) !== saves) {
      tx.abort();
      await tx.done.catch(() => undefined);
      throw found === undefined ? new GoneFromStore(id) : new ChangedElsewhere(id);
    }
    const rows = tx.objectStore("steps");
    const from = firstDifference(before, after);
    const writes: Promise<unknown>[] = [
      tx.objectStore("jobs").put(entry),
      rows.delete(rowsOf(id, after.steps.length)),
    ];
    after.steps.slice(from).forEach((step, i) => writes.push(rows.put(step, [id, from + i])));
    await written(tx, writes);
    return entry;
  }

  async remove(id: string): Promise<void> {
    const tx = (await this.connected()).transaction(["jobs", "steps"], "readwrite");
    await Promise.all([
      tx.objectStore("jobs").delete(id),
      tx.objectStore("steps").delete(rowsOf(id)),
      tx.done,
    ]);
  }
}

/** Resolves when a transaction has written everything. Rejects with what ended it, not with what ended through it. */
export async function written(
  tx: { done: Promise<void>; error: DOMException | null },
  writes: readonly Promise<unknown>[],
): Promise<void> {
  try {
    await Promise.all([...writes, tx.done]);
  } catch (error) {
    throw tx.error ?? error;
  }
}

/** The first step that has to be written to turn `before` into `after`. */
export function firstDifference(before: History | null, after: History): number {
  if (before === null) return 0;
  const same = after.steps.findIndex((step, i) => before.steps[i] !== step);
  return same === -1 ? after.steps.length : same;
}

async function readAll<K, V>(keys: readonly K[], read: (key: K) => Promise<V | undefined>): Promise<V[]> {
  return (await Promise.all(keys.map(read))).filter((value) => value !== undefined);
}

function rowsOf(id: string, from = 0): IDBKeyRange {
  return IDBKeyRange.bound([id, from], [id, Infinity]);
}
