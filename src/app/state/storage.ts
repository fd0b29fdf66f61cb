import { type DBSchema, type IDBPDatabase, openDB } from "idb";
import { type History, presentJob, type Step } from "./history.ts";

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

/** Another tab has changed the job since this one last saw it. */
export class ChangedElsewhere extends Error {
  override name = "ChangedElsewhere";
}

/** The jobs kept in this browser. Every method rejects when the browser denies or lacks the room. */
export class JobStore {
  private readonly db: IDBPDatabase<StudioDb>;

  private constructor(db: IDBPDatabase<StudioDb>) {
    this.db = db;
  }

  static async open(name = "velarium"): Promise<JobStore> {
    const db = await openDB<StudioDb>(name, 1, {
      upgrade(fresh) {
        fresh.createObjectStore("jobs", { keyPath: "id" });
        fresh.createObjectStore("steps");
      },
      // A newer tab needs a newer layout: let go at once, it will not wait.
      blocking: (_now, _wanted, event) => (event.target as IDBDatabase).close(),
    });
    return new JobStore(db);
  }

  /** The one changed last comes first. */
  async list(): Promise<JobEntry[]> {
    const entries = await this.db.getAll("jobs");
    return entries.sort((a, b) => b.savedAtMs - a.savedAtMs || (a.id < b.id ? -1 : 1));
  }

  async load(id: string): Promise<{ entry: JobEntry; history: History } | null> {
    const tx = this.db.transaction(["jobs", "steps"]);
    const entry = await tx.objectStore("jobs").get(id);
    const steps = await tx.objectStore("steps").getAll(rowsOf(id));
    await tx.done;
    if (entry === undefined || steps[entry.at] === undefined) return null;
    return { entry, history: { steps, at: entry.at } };
  }

  /**
   * Writes what changed between two states of a history, in one transaction: all or nothing.
   * `before` null writes a new entry. Throws ChangedElsewhere when the entry is not at `saves` any more.
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
    const tx = this.db.transaction(["jobs", "steps"], "readwrite");
    const found = await tx.objectStore("jobs").get(id);
    if ((found?.saves ?? 0) !== saves || (before !== null && found === undefined)) {
      tx.abort();
      await tx.done.catch(() => undefined);
      throw new ChangedElsewhere(id);
    }
    const rows = tx.objectStore("steps");
    const from = firstDifference(before, after);
    const writes: Promise<unknown>[] = [
      tx.objectStore("jobs").put(entry),
      rows.delete(rowsOf(id, after.steps.length)),
    ];
    after.steps.slice(from).forEach((step, i) => writes.push(rows.put(step, [id, from + i])));
    await Promise.all([...writes, tx.done]);
    return entry;
  }

  async remove(id: string): Promise<void> {
    const tx = this.db.transaction(["jobs", "steps"], "readwrite");
    await Promise.all([
      tx.objectStore("jobs").delete(id),
      tx.objectStore("steps").delete(rowsOf(id)),
      tx.done,
    ]);
  }
}

/** The first step that has to be written to turn `before` into `after`. */
export function firstDifference(before: History | null, after: History): number {
  if (before === null) return 0;
  const same = after.steps.findIndex((step, i) => before.steps[i] !== step);
  return same === -1 ? after.steps.length : same;
}

function rowsOf(id: string, from = 0): IDBKeyRange {
  return IDBKeyRange.bound([id, from], [id, Infinity]);
}
