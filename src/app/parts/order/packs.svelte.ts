import type { Job } from "../../../job/schema.ts";
import type { Changes } from "../../../sheets/pack/changes.ts";
import { Making } from "../../state/making.svelte.ts";
import { ofOneJob } from "../../state/ofOneJob.ts";
import { workRecord } from "../../state/record.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import type { PackOrder } from "../../work/worker/api.ts";
import { bundlesCore } from "../../work/worker/client.ts";
import { core } from "../../worker/client.ts";
import { latest } from "../../worker/latest.ts";
import { sharing } from "../../work/sharing.svelte.ts";

/** Something downloaded since the page was opened. */
export interface Printed {
  name: string;
  order: PackOrder;
  at: Date;
  job: Job;
  warnings: string[];
}

/** Packs, labels and tables being made, those made, and what has changed since they were printed. */
class Packs {
  readonly #making = new Making("packs", "That could not be made.");
  printed = $state.raw<Printed[]>([]);
  /** The job as a person printed it last, from its file. */
  since = $state.raw<{ name: string; job: Job } | null>(null);
  changes = $state.raw<Changes | null>(null);
  refused = $state("");

  constructor() {
    ofOneJob(() => {
      this.printed = [];
      this.refused = "";
      this.forget();
    });
  }

  get making(): Making["now"] {
    return this.#making.now;
  }

  readonly free = $derived(this.making === null && sharing.settled);

  async make(order: PackOrder, words: string): Promise<void> {
    if (!this.free) return;
    const changes = this.since === null ? null : this.changes;
    const job = studio.settledJob;
    const { jobId } = studio;
    const made = await this.#making.run(words, (onProgress) =>
      bundlesCore().make(job, order, changes, workRecord.of(job), onProgress),
    );
    if (!made || studio.jobId !== jobId) return;
    const { name, warnings } = made;
    const entry: Printed = { name, order, at: new Date(), job, warnings };
    this.printed = [entry, ...this.printed.filter((p) => p.name !== name)];
  }

  stop(): void {
    void bundlesCore().stop();
  }

  /** Holds the job against an older file of it: the van pack then says what changed. */
  async compareWith(name: string, bytes: Uint8Array): Promise<void> {
    const answer = await core().readJob(bytes);
    if (answer.ok) {
      this.refused = "";
      this.since = { name, job: answer.value.job };
    } else this.refused = `${name} can't be read as a job.`;
  }

  forget(): void {
    this.since = null;
    this.changes = null;
  }

  /** Keeps the list of what is stale beside the job. */
  follow(): void {
    const before = (this.since ?? this.printed.at(-1))?.job;
    if (sharing.settled && before) this.#compare({ before, now: studio.settledJob });
  }

  readonly #compare = latest(
    ({ before, now }: { before: Job; now: Job }) => bundlesCore().changes(before, now),
    (answer) => {
      this.changes = answer.ok ? answer.value : null;
      if (!answer.ok) this.refused = "The older job can't be planned, so it can't be compared.";
    },
    (error) => {
      console.error(error);
      this.refused = "The comparison failed. The job itself is kept.";
    },
  );
}

export const packs = new Packs();
