import { createHash, randomBytes } from "node:crypto";
import { mkdirSync } from "node:fs";
import { type Database, open, type RootDatabase } from "lmdb";

/** The design of a shared job, as its desk or its file has it now. */
export interface SharedJob {
  id: string;
  title: string;
  /** Counts its changes. */
  design: number;
  /** Who may change it: the studio on this computer, or the file that was named at the start. */
  from: "desk" | "file";
  /** Entries in its record. */
  at: number;
  sharedAtMs: number;
}

/** The disk took nothing: it is full, or fails. What was taken before stands. */
export class DiskRefuses extends Error {
  override name = "DiskRefuses";
}

/**
 * Shared jobs, what happened to them, and the devices that may know, in one folder. A store in which a change is on
 * the disk, whole, when the call comes back: nobody is answered before that. Ended at any moment, it opens again at
 * the last change that was answered. Entries are texts; each is kept once, in the order in which they came.
 */
export class ShareLog {
  private readonly root: RootDatabase;
  private readonly jobs: Database<SharedJob, string>;
  private readonly designs: Database<string, string>;
  private readonly entries: Database<string, [job: string, n: number]>;
  private readonly known: Database<number, [job: string, sum: string]>;
  private readonly devices: Database<number, string>;
  /** Of this log and no other: a device that meets another one starts from its beginning. */
  readonly id: string;

  constructor(folder: string) {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    // by default a change is answered before it is on the disk
    this.root = open({ path: folder, encoding: "json", overlappingSync: false, maxDbs: 8 });
    this.jobs = this.root.openDB({ name: "jobs", encoding: "json" });
    this.designs = this.root.openDB({ name: "designs", encoding: "string" });
    this.entries = this.root.openDB({ name: "entries", encoding: "string" });
    this.known = this.root.openDB({ name: "known", encoding: "json" });
    this.devices = this.root.openDB({ name: "devices", encoding: "json" });
    this.id = (this.root.get("log") as string | undefined) ?? this.write(() => this.name());
  }

  private name(): string {
    const id = randomBytes(8).toString("hex");
    this.root.putSync("log", id);
    return id;
  }

  /** The one shared last comes first. */
  list(): SharedJob[] {
    return [...this.jobs.getRange().map(({ value }) => value)].sort((a, b) => b.sharedAtMs - a.sharedAtMs);
  }

  job(id: string): SharedJob | null {
    return this.jobs.get(id) ?? null;
  }

  design(id: string): string | null {
    return this.designs.get(id) ?? null;
  }

  /** Shares a job, or puts a changed design in the place of the one before. */
  share(job: Pick<SharedJob, "id" | "title" | "from">, design: string, nowMs: number): SharedJob {
    return this.write(() => {
      const before = this.job(job.id);
      const same = before !== null && this.design(job.id) === design;
      const now: SharedJob = {
        ...job,
        design: (before?.design ?? 0) + (same ? 0 : 1),
        at: before?.at ?? 0,
        sharedAtMs: nowMs,
      };
      if (!same) this.designs.putSync(job.id, design);
      this.jobs.putSync(job.id, now);
      return now;
    });
  }

  /** Takes entries into the record of a job, each once; gives how many it holds now. */
  append(id: string, texts: readonly string[]): number {
    return this.write(() => {
      const job = this.job(id);
      if (job === null) throw new Error(`no job ${id} is shared`);
      let { at } = job;
      for (const text of texts) {
        const sum = createHash("sha256").update(text).digest("base64url");
        if (this.known.get([id, sum]) !== undefined) continue;
        this.known.putSync([id, sum], at);
        this.entries.putSync([id, at++], text);
      }
      if (at > job.at) this.jobs.putSync(id, { ...job, at });
      return at;
    });
  }

  /** Entries from number `from` on, so many that their text has about `mostCharacters`. */
  after(id: string, from: number, mostCharacters: number): string[] {
    const found: string[] = [];
    let characters = 0;
    for (const { value } of this.entries.getRange({ start: [id, from], end: [id, Infinity] })) {
      found.push(value);
      characters += value.length;
      if (characters >= mostCharacters) break;
    }
    return found;
  }

  /** Sums of the secrets of the devices that have scanned a code. */
  deviceSums(): string[] {
    return [...this.devices.getKeys()];
  }

  addDevice(sum: string, nowMs: number): void {
    this.write(() => this.devices.putSync(sum, nowMs));
  }

  forgetDevices(): void {
    this.write(() => this.deviceSums().forEach((sum) => this.devices.removeSync(sum)));
  }

  close(): Promise<void> {
    return this.root.close();
  }

  private write<T>(change: () => T): T {
    let defect: { error: unknown } | undefined;
    try {
      return this.root.transactionSync(() => {
        try {
          return change();
        } catch (error) {
          defect = { error };
          throw error;
        }
      });
    } catch (error) {
      throw defect?.error ?? new DiskRefuses(String(error));
    }
  }
}
