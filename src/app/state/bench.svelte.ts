import { ofOneJob } from "./ofOneJob.ts";

/** What is picked in the parts Bundles and Order. Never part of the job. */
class Bench {
  engine = $state<number | null>(null);
  obstacle = $state<number | null>(null);
  tile = $state<string | null>(null);
  /** A rectangle being drawn, corner to corner on the plan. */
  span = $state.raw<{ from: [number, number]; to: [number, number] } | null>(null);
  /** Where the hand is that draws the picked tile to an engine. */
  leash = $state.raw<[number, number] | null>(null);
  /** Pointed at in a table: shown on the ceiling while it lasts. */
  pointed = $state<string | null>(null);

  constructor() {
    ofOneJob(() => {
      this.engine = this.obstacle = null;
      this.tile = this.pointed = null;
      this.span = this.leash = null;
    });
  }
}

export const bench = new Bench();
