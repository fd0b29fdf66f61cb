import type { Job } from "../../job/schema.ts";
import { holeLight, type Strung } from "../../pattern/packing.ts";
import type { Hole } from "../../pattern/types.ts";
import { same } from "../../work/reads.ts";
import { studio } from "./studio.svelte.ts";

/** Strands exchanged to make up for length, and for which job that was worked out. */
export interface Exchange {
  job: Job;
  holes: readonly Hole[];
}

/** The holes as they are punched: with strands exchanged for length, where the sharing-out is known. */
class Punched {
  /** Told by the sharing-out; where it would now be another one it counts for nothing. */
  exchange = $state.raw<Exchange | null>(null);

  readonly #counts = $derived.by(() => {
    const { exchange } = this;
    if (exchange === null || studio.planOf === null) return null;
    const now = { ...studio.planOf, bundles: studio.job.bundles };
    return same("bundles", exchange.job, now) ? exchange : null;
  });
  readonly #byId = $derived(new Map(this.#counts?.holes.map((hole) => [hole.id, hole])));
  /** Of the newest plan. */
  readonly holes = $derived<readonly Hole[]>(this.#counts?.holes ?? studio.plan?.pattern.holes ?? []);
  /** The strands that a hole of the newest plan gets. */
  strungOf(hole: Hole): Strung {
    return this.#byId.get(hole.id) ?? hole;
  }

  /** Thickness is to make up for length. */
  readonly compensates = $derived(
    studio.ready && studio.job.bundles.compensateLength && studio.job.bundles.engines.length > 0,
  );
  /** Strands are to be exchanged, and it is not yet known which. */
  readonly awaited = $derived(this.compensates && this.#counts === null);
  /** How many holes have another strand than the pattern gave them. */
  readonly exchanged = $derived.by(() => {
    const before = studio.plan?.pattern.holes;
    return before
      ? this.holes.filter((hole, i) => holeLight(hole) !== holeLight(before[i] ?? hole)).length
      : 0;
  });
}

export const punched = new Punched();
