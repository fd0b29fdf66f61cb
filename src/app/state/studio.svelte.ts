import type { Wall } from "../../ceiling/types.ts";
import type { Fault } from "../../job/faults.ts";
import type { Job } from "../../job/schema.ts";
import type { Plan } from "../../plan.ts";
import { same } from "../../work/reads.ts";
import type { SurveyResult } from "../worker/api.ts";
import { core } from "../worker/client.ts";
import { latest } from "../worker/latest.ts";
import { planning } from "../worker/makers.ts";
import { begunGuard } from "./begun.svelte.ts";
import { type Edit, Refusal } from "./edit.ts";
import { type FileHandle, type OpenedFile, saveFile } from "./files.ts";
import {
  amended,
  type History,
  presentJob,
  record,
  redo,
  redoName,
  seal,
  startHistory,
  type Step,
  undo,
  undoName,
} from "./history.ts";
import { Keeper, type KeepState } from "./keeper.ts";
import { newId } from "./newId.ts";
import { clearNotice, say } from "./notices.svelte.ts";
import { emptyForNextJob } from "./ofOneJob.ts";
import { workRecord } from "./record.svelte.ts";
import { rememberJob, rememberedJob } from "./settings.ts";
import { type JobEntry, JobStore } from "./storage.ts";

/** How long the hand has to rest before the pattern is worked out again. */
const PLAN_AFTER_MS = 250;
/** How long a newer wish waits for the plan under way; most plans are done by then, and starting anew costs too. */
const PATIENCE_MS = 300;
/** Who asks for plans. */
const ASKER = "studio";
const DEMO = "/demo/harbour-dining-room.velarium.json";

/**
 * The one store of the studio: the open job with its history, and what the worker says about it.
 * The job is an immutable snapshot; it changes only through `run`, `preview` and `commit` with edits made
 * by the pure commands in `commands/`.
 */
class Studio {
  #history = $state.raw<History | null>(null);
  #draft = $state.raw<Edit | null>(null);
  #keeper: Keeper | null = null;
  #store: JobStore | null = null;
  #planTimer: ReturnType<typeof setTimeout> | undefined;
  #askedToPersist = false;
  /** The job of the newest plan asked for. */
  #planned: Job | null = null;
  /** What the ceiling that shows was drawn from. */
  #ceilingOf: Job["ceiling"] | null = null;
  /** The job of the plan under way. */
  #underWay: Job | null = null;

  /** The file this job was opened from or saved to. */
  fileHandle = $state.raw<FileHandle | null>(null);
  keep = $state.raw<KeepState>({ kind: "saving" });
  persistent = $state.raw<boolean | null>(null);
  jobs = $state.raw<JobEntry[]>([]);
  jobId = $state.raw("");
  survey = $state.raw<SurveyResult | null>(null);
  plan = $state.raw<Plan | null>(null);
  /** The newest job whose holes these are. */
  planOf = $state.raw<Job | null>(null);
  planFaults = $state.raw<Fault[]>([]);
  planning = $state.raw(false);
  /** The person gave the pattern up that the job asks for: what shows is the one of before. */
  planStopped = $state.raw(false);
  /** Why the design of the open job is not changed here; "" where it is. */
  locked = $state("");

  readonly ready = $derived(this.#history !== null);
  readonly undoName = $derived(this.#history ? undoName(this.#history) : null);
  readonly redoName = $derived(this.#history ? redoName(this.#history) : null);
  /** The history's names with the present one's number, for the list of steps. */
  readonly steps = $derived(this.#history?.steps ?? []);
  readonly at = $derived(this.#history?.at ?? 0);
  readonly dragging = $derived(this.#draft !== null);
  /** The ceiling of the newest survey that could be drawn. */
  ceiling = $state.raw<SurveyResult["ceiling"]>(null);

  /** Its walls, from which places are told. */
  get walls(): readonly Wall[] {
    return this.ceiling?.walls ?? [];
  }

  /** The job as it shows now, with whatever is being dragged. Only read when `ready`. */
  get job(): Job {
    if (this.#draft) return this.#draft.job;
    if (this.#history) return presentJob(this.#history);
    throw new Error("no job is open yet");
  }

  /** The job as it was before the drag under way. */
  get settledJob(): Job {
    if (this.#history) return presentJob(this.#history);
    throw new Error("no job is open yet");
  }

  /** `arrive` opens the job that the page was called for, if it was for one. */
  async start(arrive: () => Promise<boolean> = () => Promise.resolve(false)): Promise<void> {
    // its worker gets ready while the job is looked for
    core();
    try {
      this.#store = await JobStore.open(() => void this.#keeper?.lookAgain());
    } catch {
      this.#store = null;
    }
    this.#keeper = new Keeper(this.#store, refreshPresent, {
      state: (state) => (this.keep = state),
      followed: (history) => this.#show(history),
      forked: (entry, history) => {
        this.#show(history);
        this.#opened(entry.id);
        say(
          "forked",
          `This job was changed in another tab at the same moment. Yours is kept as “${entry.title}”.`,
        );
      },
      listChanged: () => void this.refreshJobs(),
      restored: () => {
        say(
          "restored",
          "This job was no longer in the browser’s store. It is kept again, as it is open here.",
        );
        workRecord.keepWhole();
        void this.refreshJobs();
      },
    });
    await this.refreshJobs();
    if (!(await arrive()) && !(await this.#openAnyKept())) await this.openDemo();
    await this.refreshJobs();
    this.persistent = (await navigator.storage?.persisted?.()) ?? null;
  }

  /**
   * Does an edit at once. A refused one is said and changes nothing; one that moves holes of a tile that is begun waits
   * for a person's word. Gives whether it was done.
   */
  run(make: (job: Job) => Edit): boolean {
    const edit = this.attempt(make, this.settledJob);
    if (edit === null) return false;
    this.#draft = null;
    return this.#unlessBegun(edit.job, () => this.#set(record(this.#current(), edit)));
  }

  /** Shows an edit while the hand is still moving. It is made from the job before the drag, so drags never add up. */
  preview(make: (job: Job) => Edit): void {
    const edit = this.attempt(make, this.settledJob);
    if (edit === null) return;
    this.#keeper?.hold(true);
    this.#draft = edit;
    this.#look(this.job);
  }

  /** Makes what is shown a step of the history: one drag, one step. */
  commit(): void {
    const edit = this.#draft;
    this.#draft = null;
    if (edit !== null) {
      const made = this.#unlessBegun(edit.job, () => this.#set(seal(record(seal(this.#current()), edit))));
      if (!made) this.#look(this.job);
    }
    this.#keeper?.hold(false);
  }

  /** Changes what is no design, as what is issued: at once, with no step that could be undone. Says a refusal. */
  fix(make: (job: Job) => Job): void {
    this.commit();
    const edit = this.attempt((job) => ({ name: "", job: make(job) }), this.settledJob);
    if (edit !== null) this.#set(amended(this.#current(), edit.job));
  }

  cancelPreview(): void {
    if (this.#draft === null) return;
    this.#draft = null;
    this.#keeper?.hold(false);
    this.#look(this.job);
  }

  /** While a hand holds something that is drawn beside the store, other tabs' changes wait, as they do for `preview`. */
  hold(held: boolean): void {
    this.#keeper?.hold(held);
  }

  /** Ends a run of key strokes that count as one step. */
  seal(): void {
    if (this.#history) this.#history = seal(this.#history);
  }

  /** Puts another design in place of the open job's: one step, made elsewhere. */
  takeOver(job: Job, name: string): void {
    if (JSON.stringify(job) === JSON.stringify(this.settledJob)) return;
    this.cancelPreview();
    const issued = job.issued ?? this.settledJob.issued;
    this.#set(seal(record(seal(this.#current()), { name, job: { ...job, issued } })));
  }

  undo(): void {
    this.cancelPreview();
    const name = this.undoName;
    if (name === null || this.#isLocked()) return;
    void this.#go(undo(this.#current()), `Undone: ${name}`);
  }

  redo(): void {
    this.cancelPreview();
    const name = this.redoName;
    if (name === null || this.#isLocked()) return;
    void this.#go(redo(this.#current()), `Redone: ${name}`);
  }

  /** Goes to any step of the history. */
  goTo(step: number): void {
    this.cancelPreview();
    if (this.#isLocked()) return;
    void this.#go({ steps: this.#current().steps, at: step });
  }

  /** Goes to a step, which is read now if it never was since the job was opened. */
  async #go(history: History, said?: string): Promise<void> {
    const before = this.#history;
    const step = history.steps[history.at]!;
    const read = step.job ? history : await this.#read(history, step);
    if (this.#history !== before) return;
    if (read === null) return say("refused", "That step can’t be read any more in this browser’s store.");
    // an older step may lack the job's id, which a record at the bench goes by; and nobody can unpunch what was issued
    const { id, issued } = presentJob(before ?? read);
    const there = presentJob(read);
    const alike = there.id === id && there.issued === issued;
    this.#unlessBegun(there, () => {
      this.#set(alike ? read : amended(read, { ...there, id, issued }));
      if (said !== undefined) say("undone", said);
    });
  }

  async #read(history: History, step: Step): Promise<History | null> {
    const job = (await this.#keeper?.read(step).catch(() => null)) ?? null;
    return job && refreshPresent({ steps: history.steps.with(history.at, { ...step, job }), at: history.at });
  }

  /** Makes a change now, or leaves it to a person where it would move holes of tiles that are begun; whether it was made. */
  #unlessBegun(after: Job, make: () => void): boolean {
    const { plan, planOf, settledJob } = this;
    const fresh = planOf !== null && same("holes", planOf, settledJob);
    if (begunGuard.holds(settledJob, after, { plan, fresh }, make)) return false;
    make();
    return true;
  }

  /** Opens a job file as a job of its own. Gives the faults when it is refused; nothing changes then. */
  async openBytes(file: OpenedFile): Promise<Fault[]> {
    const answer = await core().readJob(file.bytes);
    if (!answer.ok) return "faults" in answer ? answer.faults : [];
    await this.begin(answer.value.job);
    this.fileHandle = file.handle;
    const { unknownKeys } = answer.value;
    if (unknownKeys.length > 0) {
      say(
        "unknown-keys",
        `Kept without using: ${unknownKeys.slice(0, 6).join(", ")}. Misspelt, or another program's?`,
      );
    }
    return [];
  }

  /** Makes a job the open one and starts keeping it. */
  async begin(job: Job, id = newId()): Promise<void> {
    const history = startHistory(job);
    this.#leave();
    this.#show(history);
    await this.#keeper?.begin(history, id);
    this.#opened(id);
    await this.refreshJobs();
  }

  async openDemo(): Promise<void> {
    const response = await fetch(DEMO);
    if (!response.ok) throw new Error(`${DEMO}: the server answered ${response.status}`);
    const bytes = new Uint8Array(await response.arrayBuffer());
    const faults = await this.openBytes({ name: DEMO, bytes, handle: null });
    if (faults.length > 0) throw new Error(`${DEMO}: ${faults[0]?.path}: ${faults[0]?.expected}`);
  }

  async openKept(id: string): Promise<void> {
    if (!(await this.#openKept(id))) say("gone", "That job is no longer kept in this browser.");
    await this.refreshJobs();
  }

  async removeKept(id: string): Promise<void> {
    await this.#store?.remove(id);
    await this.refreshJobs();
  }

  async refreshJobs(): Promise<void> {
    this.jobs = (await this.#store?.list().catch(() => [])) ?? [];
  }

  /** Resolves when everything is saved. */
  async settled(): Promise<void> {
    this.commit();
    await this.#keeper?.settled();
  }

  /** Makes sure the present state is kept, also after a save that failed. */
  flush(): void {
    if (this.#history) this.#keeper?.keep(this.#history);
  }

  async saveToFile(asNew: boolean): Promise<void> {
    try {
      const saved = await saveFile(this.settledJob, asNew ? null : this.fileHandle);
      if (saved === null) return;
      this.fileHandle = saved.handle;
      say("saved-file", `Saved as ${saved.name}`);
    } catch {
      say("saved-file", "The file could not be written. Save it under another name or in another place.");
    }
  }

  /** Works an edit out; a refusal is said, not thrown. */
  attempt(make: (job: Job) => Edit, job: Job): Edit | null {
    if (this.#isLocked()) return null;
    try {
      const edit = make(job);
      clearNotice("refused");
      return edit;
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      say("refused", error.message);
      return null;
    }
  }

  #isLocked(): boolean {
    if (this.locked !== "") say("refused", this.locked);
    return this.locked !== "";
  }

  /** The job this tab had open; else, where even that is not remembered, the kept one changed last. */
  async #openAnyKept(): Promise<boolean> {
    const ids = this.jobs.map(({ id }) => id);
    for (const id of new Set([rememberedJob() ?? "", ...ids]))
      if (id !== "" && (await this.#openKept(id).catch(() => false))) return true;
    return false;
  }

  async #openKept(id: string): Promise<boolean> {
    const history = (await this.#keeper?.open(id)) ?? null;
    if (history === null) return false;
    this.#leave();
    this.#show(history);
    this.#opened(id);
    return true;
  }

  /** Nothing of the job that was open stays in sight. */
  #leave(): void {
    this.fileHandle = null;
    if (this.jobId !== "") emptyForNextJob();
  }

  #opened(id: string): void {
    this.jobId = id;
    rememberJob(id);
  }

  #current(): History {
    if (this.#history === null) throw new Error("no job is open yet");
    return this.#history;
  }

  #set(history: History): void {
    if (history !== this.#history) {
      this.#keeper?.keep(history);
      void this.#askToPersist();
    }
    this.#show(history);
  }

  #show(history: History): void {
    this.#draft = null;
    this.#history = history;
    this.#look(presentJob(history));
  }

  #look(job: Job): void {
    this.#survey(job);
    // of a ceiling that is known to be sound, holes don't wait for what else a survey has to say
    if (job.ceiling === this.#ceilingOf && this.survey?.faults.length === 0) this.#planSoon(job);
  }

  readonly #survey = latest(
    (job: Job) => core().survey(job, job.ceiling === this.#ceilingOf),
    (result, job) => {
      if (result.ceiling) {
        // the same again would draw every tile anew
        this.#ceilingOf = job.ceiling;
        this.ceiling = result.ceiling;
      }
      this.survey = { ...result, ceiling: result.ceiling === undefined ? this.ceiling : result.ceiling };
      if (result.faults.length === 0 && job !== this.#planned) this.#planSoon(job);
    },
    (error) => this.#defect(error),
  );

  #planSoon(job: Job): void {
    clearTimeout(this.#planTimer);
    if (this.planOf && !this.planning && this.planFaults.length === 0 && same("holes", this.planOf, job)) {
      this.#planned = job;
      this.planOf = job;
      return;
    }
    const atOnce = this.plan === null || (this.#planned !== null && onlyPattern(this.#planned, job));
    this.#planned = job;
    this.#planTimer = setTimeout(
      () => {
        const before = this.#underWay;
        if (before) setTimeout(() => this.#underWay === before && planning.forget(ASKER), PATIENCE_MS);
        this.#plan(job);
      },
      atOnce ? 0 : PLAN_AFTER_MS,
    );
    this.planning = true;
    this.planStopped = false;
  }

  /** Gives the pattern up that is being worked out; the holes of before stay. */
  stopPlanning(): void {
    clearTimeout(this.#planTimer);
    planning.forget(ASKER);
    this.planning = false;
    this.planStopped = true;
  }

  /** Works the pattern out that was given up. */
  planAgain(): void {
    this.#planSoon(this.job);
  }

  readonly #plan = latest(
    (job: Job) => planning.ask(ASKER, (this.#underWay = job)),
    (answer, job) => {
      this.#underWay = null;
      // broken off: by the person, or for a newer one that follows now
      if (answer === null) return;
      this.planning = false;
      if (answer.ok) {
        this.plan = answer.value.plan;
        this.planOf = job;
        this.planFaults = [];
        clearNotice("cannot");
      } else if ("faults" in answer) this.planFaults = answer.faults;
      else say("cannot", `${answer.cannot.message} ${answer.cannot.next}`);
    },
    (error) => {
      this.#underWay = null;
      this.planning = false;
      this.#defect(error);
    },
  );

  #defect(error: unknown): void {
    console.error(error);
    say(
      "defect",
      "Something went wrong inside Velarium. The job itself is kept; save it as a file to be sure.",
    );
  }

  /** Asked once, at the first change: browsers grant it to pages that are used. */
  async #askToPersist(): Promise<void> {
    if (this.#askedToPersist) return;
    this.#askedToPersist = true;
    this.persistent = (await navigator.storage?.persist?.().catch(() => false)) ?? null;
  }
}

/** Under a slider of the pattern the holes follow at once; a room or a sky under the hand may wait. */
function onlyPattern(before: Job, after: Job): boolean {
  return before.ceiling === after.ceiling && before.sky === after.sky;
}

/** Brings the present step, as it was kept, up to date with this studio; null where it can't be read any more. */
async function refreshPresent(history: History): Promise<History | null> {
  const [job] = await core().refreshJobs([presentJob(history)]);
  const { name, merge } = history.steps[history.at]!;
  return job ? { steps: history.steps.with(history.at, { name, merge, job }), at: history.at } : null;
}

export const studio = new Studio();
