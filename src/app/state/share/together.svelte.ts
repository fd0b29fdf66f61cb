import { untrack } from "svelte";
import type { Job } from "../../../job/schema.ts";
import { writeJob } from "../../../job/write.ts";
import type { Entry } from "../../../record/entry.ts";
import { core } from "../../worker/client.ts";
import { desk } from "../desk.svelte.ts";
import { clearNotice, say } from "../notices.svelte.ts";
import { workRecord } from "../record.svelte.ts";
import { studio } from "../studio.svelte.ts";
import { forgetShared, rememberShared, type SharedJob, sharedJobs } from "./sharedJobs.ts";
import { Refused, type Standing, Sync } from "./sync.ts";

/** A page that came by a scanned code, or from the command that shares, says so in its address. */
const ARRIVED = "#shared";
const LOCKED =
  "This job is shared: its design is changed on the computer that shares it. Save it as a file and open that, to try something of your own.";
const KEEP_OPEN =
  "Joined. Keep this page open: without the workshop’s computer it can’t be loaded again. More in the list of jobs, under Several devices.";
const ASK_AGAIN_MS = 2000;
const DESIGN_AFTER_MS = 800;

/** What the computer that shares says of itself. */
interface Overview {
  jobs: { id: string; title: string; from: "desk" | "file" }[];
  /** This page runs on that computer. */
  desk: boolean;
  /** Where the next device joins. */
  join: string | null;
}

/** The open job and other devices: whether its record is kept alike with theirs, and how this one stands to them. */
class Together {
  /** null: the open job is shared with nobody. */
  standing = $state.raw<Standing | null>(null);
  /** Said while a page that has just joined waits for its job. */
  opening = $state("");
  /** Where another device joins; null where that is not known. */
  join = $state.raw<string | null>(null);
  #shared = $state.raw<SharedJob[]>(sharedJobs());
  #sync: Sync | null = null;
  #shareOpened = false;
  #told: Job | null = null;
  #tellTimer: ReturnType<typeof setTimeout> | undefined;

  /** Opens the shared job where the page's address asks for it; false leaves the choice to the studio. */
  async arrive(): Promise<boolean> {
    if (location.hash !== ARRIVED) return false;
    history.replaceState(null, "", location.pathname);
    try {
      let overview = await this.#overview();
      if (overview.desk && overview.jobs[0]?.from !== "file") {
        this.#shareOpened = true;
        return false;
      }
      while (overview.jobs.length === 0) {
        this.opening = "Joined. Waiting for the workshop’s computer to share a job…";
        await new Promise((done) => setTimeout(done, ASK_AGAIN_MS));
        overview = await this.#overview();
      }
      return await this.#open(overview.jobs[0]!.id);
    } catch (error) {
      say("shared", inWords(error));
      return false;
    } finally {
      this.opening = "";
    }
  }

  /** From now on the record of whichever shared job is open is kept alike with other devices. */
  follow(): void {
    workRecord.onLocal((entries) => this.#sync?.did(entries));
    window.addEventListener("online", () => this.#sync?.tryNow());
    window.addEventListener("offline", () => this.#sync?.lost());
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") this.#sync?.tryNow();
    });
    $effect.root(() => {
      $effect(() => {
        if (!studio.ready) return;
        const job = studio.settledJob;
        untrack(() => void workRecord.open(job));
      });
      const shared = $derived(this.#shared.find(({ id }) => studio.ready && id === studio.job.id));
      $effect(() => {
        const [now, kept] = [shared, studio.jobId];
        untrack(() => this.#turn(now, kept));
      });
      $effect(() => {
        if (studio.ready && shared?.ours === studio.jobId && studio.settledJob) this.#tellSoon();
      });
    });
    if (this.#shareOpened) void this.share();
  }

  /** Shares the job that is open on the computer that can share. */
  async share(): Promise<void> {
    try {
      await this.#overview();
      const id = studio.settledJob.id!;
      await this.#tellDesign();
      this.#remember({ id, ours: studio.jobId });
    } catch (error) {
      say("shared", inWords(error));
    }
  }

  /** Keeps what is here, and shares it with nobody any more. */
  leave(): void {
    forgetShared(studio.settledJob.id!);
    this.#shared = sharedJobs();
  }

  /** Entries came by file: the others have to hear of them too. */
  lookAgain(): void {
    this.#sync?.lookAgain();
  }

  /** Asks for the code that the next device scans. */
  async askCode(): Promise<void> {
    await this.#overview().catch(() => (this.join = null));
  }

  async #overview(): Promise<Overview> {
    const overview = await ask<Overview>("/share");
    this.join = overview.join;
    return overview;
  }

  #remember(job: SharedJob): void {
    rememberShared(job);
    this.#shared = [job, ...this.#shared.filter(({ id }) => id !== job.id)];
  }

  /** Opens the copy that this browser keeps of a shared job, or makes one. */
  async #open(id: string): Promise<boolean> {
    const kept = keptAs(id);
    if (studio.jobs.some((job) => job.id === kept)) await studio.openKept(kept);
    else await studio.begin(await this.#design(id), kept);
    this.#remember({ id, ours: "" });
    desk.part = "bench";
    if (!window.isSecureContext)
      say("shared", KEEP_OPEN, { label: "Noted", run: () => clearNotice("shared") });
    return true;
  }

  async #design(id: string): Promise<Job> {
    const response = await fetch(designOf(id));
    const text = await response.text();
    if (!response.ok) throw new Refused(response.status, text);
    const answer = await core().readJob(text);
    if (!answer.ok) throw new Error("the shared job can't be read here");
    return answer.value.job;
  }

  #turn(shared: SharedJob | undefined, kept: string): void {
    this.#sync?.stop();
    this.#sync = null;
    this.standing = null;
    studio.locked = "";
    if (shared === undefined) return;
    const ours = shared.ours === kept;
    // another copy of the job goes its own way in all but the record
    const theirs = kept === keptAs(shared.id);
    if (theirs) studio.locked = LOCKED;
    const record = {
      entries: () => workRecord.entries,
      add: async (entries: readonly Entry[]) => void (await workRecord.add(entries)),
    };
    const sync = new Sync(shared.id, record, {
      standing: (standing) => {
        this.standing = standing;
        if (!ours || standing.kind === "joining") return;
        // who answers next may have lost it
        if (standing.kind === "alone") this.#told = null;
        this.#tellDesign().catch(() => undefined);
      },
      design: async () => {
        if (theirs) studio.takeOver(await this.#design(shared.id), "Use the design of the desk");
      },
    });
    this.#sync = sync;
    void workRecord.open(studio.settledJob).then(() => sync.run());
  }

  #tellSoon(): void {
    clearTimeout(this.#tellTimer);
    // not told now, it is when there is somebody again
    this.#tellTimer = setTimeout(() => this.#tellDesign().catch(() => undefined), DESIGN_AFTER_MS);
  }

  async #tellDesign(): Promise<void> {
    const job = studio.settledJob;
    if (job === this.#told) return;
    const headers = { "Content-Type": "application/json" };
    await ask(designOf(job.id!), { method: "PUT", body: writeJob(job), headers });
    this.#told = job;
  }
}

const designOf = (id: string): string => `/share/jobs/${encodeURIComponent(id)}/design`;
/** The id under which a browser keeps its copy of a job that is shared from elsewhere. */
const keptAs = (id: string): string => `shared-${id}`;

async function ask<T>(path: string, init?: RequestInit): Promise<T> {
  const response = await fetch(path, init);
  const isJson = response.headers.get("content-type")?.startsWith("application/json") === true;
  if (!isJson) throw new Refused(404, "");
  const body = (await response.json()) as T & { words?: string };
  if (!response.ok) throw new Refused(response.status, body.words ?? "");
  return body;
}

function inWords(error: unknown): string {
  if (error instanceof Refused && error.message !== "") return error.message;
  if (error instanceof Refused)
    return "This studio was started without sharing. Start it with: npm start -- --share";
  return "The computer that shares the job does not answer. Is this device in its network?";
}

export const together = new Together();
