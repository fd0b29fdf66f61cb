import type { SharedOut } from "../../../bundles/types.ts";
import type { Job } from "../../../job/schema.ts";
import type { Plan } from "../../../plan.ts";
import type { Changes } from "../../../sheets/pack/changes.ts";
import type { Takeoff } from "../../../takeoff/types.ts";
import type { Answer, MadeFile } from "../../worker/api.ts";

/** What can be downloaded of bundles and order. */
export type PackOrder =
  | "van.pdf"
  | "client.pdf"
  | "labels.pdf"
  | "labels.csv"
  | "order.csv"
  | "quote.pdf"
  | "quote.csv"
  | "cut-plan.svg"
  | "strands.csv"
  | "tails.csv"
  | "everything";

/** Which tiles and sheets no longer fit what was printed: a job file of then, or what this page printed. */
export type PrintedBefore = { job: Job } | { printed: Job; plan: Plan; shared: SharedOut };

export type MadePack = Answer<MadeFile> | { ok: false; stopped: true };

/**
 * What the parts Bundles and Order ask of their workers. The plan handed over last is worked with; `job`
 * brings the newest engines, prices and words for it.
 */
export interface BundlesApi {
  open(plan: Plan): void;
  share(job: Job, how: "hand" | "solver"): Promise<Answer<SharedOut>>;
  takeoff(job: Job, shared: SharedOut): Answer<Takeoff>;
  changes(job: Job, shared: SharedOut, before: PrintedBefore): Promise<Answer<Changes>>;
  make(
    job: Job,
    shared: SharedOut,
    order: PackOrder,
    changes: Changes | null,
    onProgress: (done: number, total: number) => void,
  ): Promise<MadePack>;
  stop(): void;
}

export type { SharedOut };
