import type { SharedOut } from "../../../bundles/types.ts";
import type { Job } from "../../../job/schema.ts";
import type { Entry } from "../../../record/entry.ts";
import type { Changes } from "../../../sheets/pack/changes.ts";
import type { Takeoff } from "../../../takeoff/types.ts";
import type { Answer, Meets } from "../../worker/api.ts";
import type { Made } from "../../worker/making.ts";

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

/** What the parts Bundles and Order ask of their worker. */
export interface BundlesApi extends Meets {
  /** By hand rules alone, quick enough for a moving hand. */
  share(job: Job): Promise<Answer<SharedOut>>;
  takeoff(job: Job, shared: SharedOut): Promise<Answer<Takeoff>>;
  /** Which tiles and sheets no longer fit what was printed before. */
  changes(before: Job, now: Job): Promise<Answer<Changes>>;
  make(
    job: Job,
    order: PackOrder,
    changes: Changes | null,
    /** What happened at the bench and since; undefined: as planned. */
    record: readonly Entry[] | undefined,
    onProgress: (done: number, total: number) => void,
  ): Promise<Made>;
  stop(): void;
}

export type { SharedOut };
