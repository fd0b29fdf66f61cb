import type { Job } from "../../job/schema.ts";
import type { Hole } from "../../pattern/types.ts";
import type { Plan } from "../../plan.ts";
import { studio } from "./studio.svelte.ts";

/** Strands exchanged to make up for length, and for which pattern and bundles that was worked out. */
export interface Exchange {
  pattern: Plan["pattern"];
  bundles: Job["bundles"];
  holes: Hole[];
}

/** The holes as they are punched: with strands exchanged for length, where the sharing-out is known. */
class Punched {
  /** Told by the sharing-out; one of another pattern or of other bundles counts for nothing. */
  exchange = $state.raw<Exchange | null>(null);

  readonly #counts = $derived.by(() => {
    const { exchange } = this;
    if (exchange === null || studio.plan?.pattern !== exchange.pattern) return null;
    return sameSharing(studio.job.bundles, exchange.bundles) ? exchange : null;
  });
  /** Of the newest plan. */
  readonly holes = $derived<readonly Hole[]>(this.#counts?.holes ?? studio.plan?.pattern.holes ?? []);
  /** The strand that a hole of the newest plan gets. */
  diameterOf({ id, diameterMm }: Hole): number {
    return this.#counts?.holes[id - 1]?.diameterMm ?? diameterMm;
  }

  /** Thickness is to make up for length. */
  readonly compensates = $derived(
    studio.ready && studio.job.bundles.compensateLength && studio.job.bundles.engines.length > 0,
  );
  /** Strands are to be exchanged, and it is not yet known which. */
  readonly awaited = $derived(this.compensates && this.#counts === null);
  /** How many holes have another strand than the pattern gave them. */
  readonly exchanged = $derived.by(() => {
    const before = this.#counts?.pattern.holes;
    return before ? this.holes.filter((hole, i) => hole.diameterMm !== before[i]?.diameterMm).length : 0;
  });
}

/** Snapshots of the job share what did not change; labels move no strand. */
function sameSharing(a: Job["bundles"], b: Job["bundles"]): boolean {
  return Object.keys(a).every((key) => key === "labels" || a[key] === b[key]);
}

export const punched = new Punched();
