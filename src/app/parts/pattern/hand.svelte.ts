import type { PointMm } from "../../../geometry/types.ts";
import type { SkyObjectId } from "../../../job/sections/pattern.ts";
import { ofOneJob } from "../../state/ofOneJob.ts";

/** What a tap on the ceiling is to put down. */
export type Placing = { kind: "add" } | { kind: "pin"; what: SkyObjectId; name: string };

/** The hole under the hand, and what the lists point at. Never part of the job. */
class Hand {
  /** Key of the picked star or hole (see subject.ts), or null. */
  picked = $state.raw<string | null>(null);
  /** Where the picked hole is being moved to, and the hard rule against it ("" for none). */
  moving = $state.raw<{ atMm: PointMm; why: string } | null>(null);
  placing = $state.raw<Placing | null>(null);
  /** A tap that came before the first holes did; it is made good when they are there. */
  early = $state.raw<PointMm | null>(null);
  /** Pointed at in a list: shown on the ceiling while it lasts. */
  pointed = $state.raw<string | null>(null);
  /** The hole that the keyboard stands on, by its number in the plan. */
  cursor = $state(1);

  constructor() {
    ofOneJob(() => {
      this.pick(null);
      this.early = this.pointed = null;
      this.cursor = 1;
    });
  }

  pick(key: string | null): void {
    this.picked = key;
    this.moving = null;
    this.placing = null;
  }
}

export const hand = new Hand();
