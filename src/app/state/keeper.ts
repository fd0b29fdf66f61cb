import type { Job } from "../../job/schema.ts";
import { type History, presentJob, type Step } from "./history.ts";
import { newId } from "./newId.ts";
import { ChangedElsewhere, GoneFromStore, type JobEntry, type JobStore } from "./storage.ts";

/** What the keeper tells the studio. */
export interface KeeperEvents {
  /** Saved, or why not. */
  state(state: KeepState): void;
  /** Another tab saved this job: here is how it stands now. */
  followed(history: History): void;
  /** This tab's change came too late and was kept as a job of its own. */
  forked(entry: JobEntry, history: History): void;
  listChanged(): void;
  /** The store was cleared, or the job removed in another tab; what is open here was written again. */
  restored(): void;
}

export type KeepState =
  | { kind: "saved"; atMs: number }
  | { kind: "saving" }
  /** Nothing is kept: the work has to be saved as a file. */
  | { kind: "failed"; why: string };

/** Brings a history kept by an older studio up to date; null where it can't be read any more. */
export type Refresh = (history: History) => Promise<History | null>;

interface TabMessage {
  id: string;
  saves: number;
}

/** What the keeper needs of the store. */
export type KeptJobs = Pick<JobStore, "load" | "read" | "save">;

/** Saves the open job after every change, one save after the other, and keeps step with other tabs. */
export class Keeper {
  private readonly store: KeptJobs | null;
  private readonly refresh: Refresh;
  private readonly events: KeeperEvents;
  private readonly channel: BroadcastChannel | null;
  private id = "";
  private saves = 0;
  private written: History | null = null;
  private wanted: History | null = null;
  private busy = false;
  private running: Promise<void> = Promise.resolve();
  private follow = false;
  private held = false;
  /** The job that the store was found to lack, until it is written anew. */
  private gone: string | null = null;

  constructor(
    store: KeptJobs | null,
    refresh: Refresh,
    events: KeeperEvents,
    channel: BroadcastChannel | null = typeof BroadcastChannel === "undefined"
      ? null
      : new BroadcastChannel("velarium"),
  ) {
    this.store = store;
    this.refresh = refresh;
    this.events = events;
    this.channel = channel;
    this.channel?.addEventListener("message", (event: MessageEvent<TabMessage>) => this.heard(event.data));
  }

  get jobId(): string {
    return this.id;
  }

  /** Opens a kept job; null when it is not there any more. */
  async open(id: string): Promise<History | null> {
    await this.settled();
    const found = await this.loaded(id);
    if (found === null) return null;
    this.id = id;
    this.saves = found.entry.saves;
    this.written = found.history;
    this.wanted = found.history;
    this.events.state({ kind: "saved", atMs: found.entry.savedAtMs });
    return found.history;
  }

  /** Starts keeping a job that is not kept yet. */
  async begin(history: History, id: string): Promise<void> {
    await this.settled();
    this.id = id;
    this.saves = 0;
    this.written = null;
    this.keep(history);
    await this.settled();
  }

  /** Saves this state of the job, as soon as the save before it is done. */
  keep(history: History): void {
    this.wanted = history;
    if (!this.busy) this.start();
  }

  /** While a thing is being dragged, other tabs' changes wait. */
  hold(held: boolean): void {
    this.held = held;
    if (!held && this.follow && !this.busy) this.start();
  }

  /** Looks whether the job is still in a store that was taken away from under the page, and writes it again if not. */
  async lookAgain(): Promise<void> {
    await this.settled();
    const found = await this.store?.load(this.id).catch(() => null);
    if (found || this.wanted === null) return;
    // saving finds out whether it is gone, or could not be looked for
    this.written = null;
    if (!this.busy) this.start();
    await this.settled();
  }

  /** The job of a step that was not read yet, as it was kept; null where it is kept no more. */
  async read(step: Step): Promise<Job | null> {
    return (await this.store?.read(step)) ?? null;
  }

  async settled(): Promise<void> {
    while (this.busy) await this.running;
  }

  private async loaded(id: string): Promise<{ entry: JobEntry; history: History } | null> {
    const found = await this.store?.load(id);
    if (!found) return null;
    const history = await this.refresh(found.history);
    return history && { entry: found.entry, history };
  }

  private start(): void {
    this.running = this.run();
  }

  private async run(): Promise<void> {
    this.busy = true;
    try {
      for (;;) {
        if (this.wanted !== null && this.wanted !== this.written) await this.saveOnce(this.wanted);
        else if (this.follow && !this.held) await this.catchUp();
        else break;
      }
    } finally {
      this.busy = false;
    }
  }

  private async saveOnce(history: History): Promise<void> {
    if (this.store === null) {
      this.written = history;
      this.events.state({ kind: "failed", why: "This browser gives no room to keep jobs in." });
      return;
    }
    this.events.state({ kind: "saving" });
    try {
      const entry = await this.store.save(this.id, history, this.saves, Date.now());
      this.saves = entry.saves;
      this.written = history;
      if (this.gone === this.id) this.events.restored();
      this.gone = null;
      this.events.state({ kind: "saved", atMs: entry.savedAtMs });
      this.channel?.postMessage({ id: this.id, saves: this.saves } satisfies TabMessage);
    } catch (error) {
      if (error instanceof ChangedElsewhere) this.fork(this.wanted ?? history);
      else if (error instanceof GoneFromStore) this.restore();
      else {
        // Not written, so the next change tries the whole of it again.
        this.wanted = this.written;
        this.events.state({ kind: "failed", why: storageWords(error) });
      }
    }
  }

  /** Two tabs changed the same state at once: this tab's version becomes a job of its own, nothing is overwritten. */
  private fork(history: History): void {
    const present = presentJob(history);
    const job = { ...present, title: `${present.title} (second copy)`.slice(0, 200) };
    const steps = history.steps.with(history.at, { name: "Keep as a second copy", job, merge: "" });
    const copy: History = { steps, at: history.at };
    this.id = newId();
    this.saves = 0;
    this.written = null;
    this.wanted = copy;
    this.follow = false;
    // told before it is saved: whatever is edited from now on belongs to the copy
    this.events.forked(
      {
        id: this.id,
        title: job.title,
        client: job.client,
        room: job.room,
        savedAtMs: Date.now(),
        saves: 1,
        at: copy.at,
      },
      copy,
    );
  }

  /** The next save writes all of it anew; only then is it kept again. */
  private restore(): void {
    this.saves = 0;
    this.written = null;
    this.gone = this.id;
  }

  private async catchUp(): Promise<void> {
    this.follow = false;
    const found = await this.loaded(this.id);
    if (!found || found.entry.saves === this.saves) return;
    // An edit came in meanwhile: saving it will find that it is too late, and keep it apart.
    if (this.wanted !== this.written) return;
    this.saves = found.entry.saves;
    this.written = found.history;
    this.wanted = found.history;
    this.events.followed(found.history);
    this.events.state({ kind: "saved", atMs: found.entry.savedAtMs });
  }

  private heard(message: TabMessage): void {
    this.events.listChanged();
    if (message.id !== this.id || message.saves === this.saves) return;
    this.follow = true;
    if (!this.busy && !this.held) this.start();
  }
}

/** What Chromium says of a disk without room: not always by the name that the standard has for it. */
const FULL = /NO_SPACE|disk full|full disk|no space/i;

/** What a browser's storage error means to the person at the bench. */
export function storageWords(error: unknown): string {
  const { name, message } = error instanceof Error || error instanceof DOMException ? error : { name: "", message: "" }; // prettier-ignore
  if (name === "QuotaExceededError" || FULL.test(message)) return "This browser's storage is full.";
  if (name === "SecurityError" || name === "InvalidStateError")
    return "This browser refuses to keep anything for this page.";
  return "The browser could not write to its storage; its disk may be full.";
}
