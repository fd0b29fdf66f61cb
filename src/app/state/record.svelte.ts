import { SvelteMap } from "svelte/reactivity";
import type { Job } from "../../job/schema.ts";
import type { Entry } from "../../record/entry.ts";
import { type RecordedJob, unheard } from "../../record/record.ts";
import type { Stamp } from "../../record/say.ts";
import { byTile, type TileState, tileState } from "../../record/state.ts";
import { storageWords } from "./keeper.ts";
import { newId } from "./newId.ts";
import { painted } from "./painted.ts";
import { RecordStore } from "./recordStore.ts";
import { rememberedHands, rememberHands } from "./settings.ts";

const NOTHING = tileState([]);

interface TabMessage {
  jobId: string;
  entries: Entry[];
}

/**
 * The record of the open job: every entry this device has heard, what stands of each tile, and the hand that writes.
 * What is told is shown at once and counts as kept when it is on the disk.
 */
class WorkRecord {
  job = $state.raw<RecordedJob | null>(null);
  /** Grows; never sorted, never shortened. */
  entries = $state.raw<readonly Entry[]>([]);
  /** Entries on their way to the disk. */
  writing = $state(0);
  /** Why entries could not be kept; they are shown, and written again with the next or when asked. */
  failed = $state("");
  /** Who works, and what this device is called. */
  hands = $state.raw(rememberedHands());
  readonly #store = new RecordStore();
  readonly #tiles = new SvelteMap<string, TileState>();
  #byTile = new Map<string, Entry[]>();
  /** What the disk refused, by job. */
  readonly #unkept = new SvelteMap<string, readonly Entry[]>();
  #opening: Promise<void> | null = null;
  #run = newId().slice(0, 12);
  #n = 0;
  readonly #listeners = new Set<(entries: readonly Entry[]) => void>();
  readonly #channel =
    typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("velarium-record");

  constructor() {
    this.#channel?.addEventListener("message", ({ data }: MessageEvent<TabMessage>) => {
      if (data.jobId === this.job?.id) this.#take(unheard(this.entries, data.entries));
    });
  }

  /** Opens the record of a job, or leaves it open. */
  open(job: Job): Promise<void> {
    const id = job.id ?? "";
    if (this.job?.id === id && this.#opening) return this.#opening;
    this.job = { id, title: job.title };
    this.entries = [];
    this.#byTile = new Map();
    this.#tiles.clear();
    this.failed = "";
    const unkept = this.#unkept.get(id) ?? [];
    this.#take(unkept);
    this.#opening = unkept.length > 0 ? this.#keep([]).then(() => this.#load(id)) : this.#load(id);
    return this.#opening;
  }

  /** Whether everything told on this device, of whichever job, is on the disk. */
  get isKept(): boolean {
    return this.writing === 0 && this.#unkept.size === 0;
  }

  /** Writes again what could not be kept, and reads what could not be read, when that may be possible now. */
  keepAgain(): void {
    const id = this.job?.id;
    if (id !== undefined) this.#opening = this.#keep([]).then(() => this.#load(id));
  }

  /** The record of a job, for papers as built; undefined where nobody has told anything of it: they are as planned. */
  of(job: Job): readonly Entry[] | undefined {
    return this.job?.id === job.id && this.entries.length > 0 ? this.entries : undefined;
  }

  /** What stands of a tile; follows every entry of that tile, and of no other. */
  tile(name: string): TileState {
    return this.#tiles.get(name) ?? NOTHING;
  }

  stamp(revision: number): Stamp {
    const { who, device } = this.hands;
    return { id: `${this.#run}-${++this.#n}`, atMs: Date.now(), who, device, revision };
  }

  setHands(hands: { who: string; device: string }): void {
    this.hands = hands;
    rememberHands(hands);
  }

  /** Something was done on this device. */
  tell(...entries: Entry[]): void {
    this.#take(entries);
    for (const listener of this.#listeners) listener(entries);
    void this.#keep(entries);
  }

  /** Entries of another device; those that are new are kept. Gives how many, when they are on the disk. */
  async add(entries: readonly Entry[]): Promise<number> {
    await this.#opening;
    const fresh = unheard(this.entries, entries);
    this.#take(fresh);
    if (fresh.length > 0) await this.#keep(fresh);
    return fresh.length;
  }

  /** Calls `listener` with what is told on this device from now on; gives the way to stop it. */
  onLocal(listener: (entries: readonly Entry[]) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** Writes everything once more: after the store was cleared under the page. */
  keepWhole(): void {
    void this.#keep(this.entries);
  }

  async #load(id: string): Promise<void> {
    try {
      const kept = await this.#store.load(id);
      // what was told while it was being read is among `entries` already
      if (this.job?.id === id) this.#take(unheard(this.entries, kept));
    } catch (error) {
      if (this.job?.id === id) this.failed = storageWords(error);
    }
  }

  #take(fresh: readonly Entry[]): void {
    if (fresh.length === 0) return;
    this.entries = [...this.entries, ...fresh];
    for (const [tile, entries] of byTile(fresh)) {
      const own = [...(this.#byTile.get(tile) ?? []), ...entries];
      this.#byTile.set(tile, own);
      this.#tiles.set(tile, tileState(own));
    }
  }

  async #keep(entries: readonly Entry[]): Promise<void> {
    const jobId = this.job?.id;
    if (jobId === undefined) return;
    const all = [...(this.#unkept.get(jobId) ?? []), ...entries];
    this.#unkept.delete(jobId);
    this.writing += all.length;
    try {
      // a hand sees its tick before the disk has it; "kept" is said only then
      await painted();
      await this.#store.add(jobId, all);
      if (this.job?.id === jobId) this.failed = "";
      this.#channel?.postMessage({ jobId, entries: all } satisfies TabMessage);
    } catch (error) {
      this.#unkept.set(jobId, [...all, ...(this.#unkept.get(jobId) ?? [])]);
      if (this.job?.id === jobId) this.failed = storageWords(error);
    } finally {
      this.writing -= all.length;
    }
  }
}

export const workRecord = new WorkRecord();
