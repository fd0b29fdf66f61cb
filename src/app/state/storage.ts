import { type DBSchema, type IDBPDatabase, type IDBPTransaction, openDB, type StoreNames } from "idb";
import type { Job } from "../../job/schema.ts";
import { type History, presentJob, type Step, thinned } from "./history.ts";
import { newId } from "./newId.ts";

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

/** A step of a history as its list shows it: the job itself lies under its key, and is read when it is wanted. */
interface Line {
  /** Never used again for another step of the job; numbers come from the first layout. */
  key: number | string;
  name: string;
}

interface StudioDb extends DBSchema {
  jobs: { key: string; value: JobEntry };
  /** The history of every job, by its id. */
  histories: { key: string; value: Line[] };
  /** Every step of every job's history, by [job id, key]: an edit writes one row. */
  steps: { key: [string, number | string]; value: Step };
}

type Laying = IDBPTransaction<StudioDb, StoreNames<StudioDb>[], "versionchange">;

/** What each version of the layout adds to the one before; whatever a browser kept goes through those it lacks. */
const LAYOUTS: readonly ((db: IDBPDatabase<StudioDb>, tx: Laying) => void | Promise<void>)[] = [
  (db) => {
    db.createObjectStore("jobs", { keyPath: "id" });
    db.createObjectStore("steps");
  },
  listSteps,
];

/** Steps lay under their numbers, named only in themselves, at first without a limit. */
async function listSteps(db: IDBPDatabase<StudioDb>, tx: Laying): Promise<void> {
  const histories = db.createObjectStore("histories");
  const [jobs, rows] = [tx.objectStore("jobs"), tx.objectStore("steps")];
  for (const entry of await jobs.getAll()) {
    const keys = await rows.getAllKeys(rowsOf(entry.id));
    const present = keys[entry.at];
    const kept = new Set(thinned(keys, present));
    const lines: Line[] = [];
    for (const key of keys) {
      if (!kept.has(key)) await rows.delete(key);
      else lines.push({ key: key[1], name: (await rows.get(key))!.name });
    }
    await histories.put(lines, entry.id);
    await jobs.put({ ...entry, at: lines.findIndex(({ key }) => key === present?.[1]) });
  }
}

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
  /** Where the steps that are kept lie. */
  private readonly keys = new WeakMap<Step, [id: string, key: Line["key"]]>();
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
      upgrade: (db, oldVersion, _now, tx) => void layOut(db, oldVersion, tx),
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

  /** The job with the names of its steps; only the present one is read. */
  async load(id: string): Promise<{ entry: JobEntry; history: History } | null> {
    const tx = (await this.connected()).transaction(["jobs", "histories", "steps"]);
    const entry = await tx.objectStore("jobs").get(id);
    const lines = await tx.objectStore("histories").get(id);
    const line = lines?.[entry?.at ?? -1];
    const present = line && (await tx.objectStore("steps").get([id, line.key]));
    await tx.done;
    if (!entry || !lines || !present) return null;
    const steps = lines.map((one): Step =>
      one === line ? present : { name: one.name, job: null, merge: "" },
    );
    steps.forEach((step, i) => this.keys.set(step, [id, lines[i]!.key]));
    return { entry, history: { steps, at: entry.at } };
  }

  /** The job of a step that was not read yet, as it was kept; null where it was dropped since. */
  async read(step: Step): Promise<Job | null> {
    const key = this.keys.get(step);
    return (key && (await (await this.connected()).get("steps", key))?.job) ?? null;
  }

  /**
   * Writes what a history has that is not kept yet and drops what it has no more, in one transaction: all or nothing.
   * `saves` 0 writes a new entry. Throws ChangedElsewhere when the entry is not at `saves` any more, GoneFromStore when
   * there is none.
   */
  async save(id: string, history: History, saves: number, nowMs: number): Promise<JobEntry> {
    const { title, client, room } = presentJob(history);
    const tx = (await this.connected()).transaction(["jobs", "histories", "steps"], "readwrite");
    const [jobs, histories, rows] = [tx.objectStore("jobs"), tx.objectStore("histories"), tx.objectStore("steps")]; // prettier-ignore
    const found = await jobs.get(id);
    if ((found?.saves ?? 0) !== saves) {
      tx.abort();
      await tx.done.catch(() => undefined);
      throw found === undefined ? new GoneFromStore(id) : new ChangedElsewhere(id);
    }
    const old = new Set((await histories.get(id))?.map(({ key }) => key));
    const kept: { step: Step; key: Line["key"]; row: Step | null }[] = [];
    for (const step of history.steps) {
      const [of, key] = this.keys.get(step) ?? [];
      if (of === id && old.has(key!)) {
        kept.push({ step, key: key!, row: null });
        continue;
      }
      // one that was never read goes from the job this was split off from; where it is gone there too, it is gone
      const row = step.job ? step : of !== undefined && (await rows.get([of, key!]));
      if (row) kept.push({ step, key: newId(), row });
    }
    const at = kept.findIndex(({ step }) => step === history.steps[history.at]);
    const entry: JobEntry = { id, title, client, room, savedAtMs: nowMs, saves: saves + 1, at };
    kept.forEach(({ key }) => old.delete(key));
    await written(tx, [
      jobs.put(entry),
      histories.put(
        kept.map(({ step: { name }, key }) => ({ key, name })),
        id,
      ),
      ...kept.flatMap(({ key, row }) => (row ? [rows.put(row, [id, key])] : [])),
      ...[...old].map((key) => rows.delete([id, key])),
    ]);
    kept.forEach(({ step, key }) => this.keys.set(step, [id, key]));
    return entry;
  }

  async remove(id: string): Promise<void> {
    const tx = (await this.connected()).transaction(["jobs", "histories", "steps"], "readwrite");
    await Promise.all([
      tx.objectStore("jobs").delete(id),
      tx.objectStore("histories").delete(id),
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

/** Lays out what is lacking, all or nothing: a store that can't be laid out stays as it was. */
async function layOut(db: IDBPDatabase<StudioDb>, from: number, tx: Laying): Promise<void> {
  tx.done.catch(() => undefined);
  try {
    for (const lay of LAYOUTS.slice(from)) await lay(db, tx);
  } catch {
    if (tx.error === null) tx.abort();
  }
}

/** Every step of a job: a list comes after every number and text. */
function rowsOf(id: string): IDBKeyRange {
  return IDBKeyRange.bound([id], [id, []]);
}
