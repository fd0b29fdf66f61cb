import {
  type Begun,
  begunTiles,
  changeWords,
  costWords,
  type OnBench,
  plannedOnBench,
} from "../../asBuilt/cost.ts";
import { insteadOf } from "../../issue/keep.ts";
import type { Job } from "../../job/schema.ts";
import type { Hole } from "../../pattern/types.ts";
import type { Plan } from "../../plan.ts";
import type { Entry } from "../../record/entry.ts";
import { byTile } from "../../record/state.ts";
import { same } from "../../work/reads.ts";
import { planning } from "../worker/makers.ts";
import { workRecord } from "./record.svelte.ts";

/** Who asks for the plan of a change that is not made yet. */
const ASKER = "begun";

/** A change that waits for a person's word. `costs`: by tile; null while it is being worked out. */
interface Asked {
  costs: string[] | null;
  make: () => void;
}

/**
 * Stands before every change of the job: one that would move holes of a tile that somebody has begun and nobody has
 * issued waits until a person has read what it costs. Issued tiles need no guard: nothing moves them.
 */
class BegunGuard {
  asked = $state.raw<Asked | null>(null);
  /** How far tiles were when a person accepted that they change; one that is further asks again. */
  #accepted = new Map<string, string>();

  /**
   * Whether the change has to wait; `make` makes it, at once where it turns out to leave all begun tiles alone. `plan`: the
   * newest there is, `fresh` where it is that of `before`.
   */
  holds(
    before: Job,
    after: Job,
    { plan, fresh }: { plan: Plan | null; fresh: boolean },
    make: () => void,
  ): boolean {
    const record = workRecord.of(before);
    if (record === undefined || same("holes", before, after)) return false;
    const issued = new Set(before.issued?.tiles.map(({ tile }) => tile));
    const open = (plan ? plannedOnBench(plan) : unplanned(record)).filter(({ tile }) => !issued.has(tile));
    const begun = begunTiles(open, record, before.takeoff).filter((one) => this.#accepted.get(one.tile) !== markOf(one)); // prettier-ignore
    if (begun.length === 0) return false;
    const asked: Asked = { costs: null, make: () => this.#accept(begun, make) };
    this.asked = asked;
    void this.#weigh(begun, fresh && plan ? plan.pattern.holes : holesOf(before), after).then((costs) => {
      if (this.asked !== asked) return;
      if (costs.length > 0) this.asked = { ...asked, costs };
      else {
        this.asked = null;
        make();
      }
    });
    return true;
  }

  /** The job stays as it is. */
  leave(): void {
    planning.forget(ASKER);
    this.asked = null;
  }

  /** The change is made, whatever it costs. */
  goOn(): void {
    const { asked } = this;
    this.leave();
    asked?.make();
  }

  #accept(begun: readonly Begun[], make: () => void): void {
    for (const one of begun) this.#accepted.set(one.tile, markOf(one));
    make();
  }

  async #weigh(
    begun: readonly Begun[],
    before: readonly Hole[] | Promise<readonly Hole[] | null>,
    after: Job,
  ): Promise<string[]> {
    const was = await before;
    const is = await holesOf(after);
    // what can't be worked out may change anything
    if (!was || !is) return begun.map(costWords);
    return begun.flatMap((one) => {
      const instead = insteadOf(one.tile, was.filter(({ tile }) => tile === one.tile), is); // prettier-ignore
      return instead ? [changeWords(one, instead)] : [];
    });
  }
}

async function holesOf(job: Job): Promise<readonly Hole[] | null> {
  const answer = await planning.ask(ASKER, job).catch(() => null);
  return answer?.ok ? answer.value.plan.pattern.holes : null;
}

/** Before the first plan is there only the record tells which tiles anybody has begun. */
const unplanned = (record: readonly Entry[]): OnBench[] =>
  [...byTile(record).keys()].map((tile) => ({ tile, areaM2: 0, holes: [], tails: 1 }));

const markOf = ({ punched, threaded, glued, steps }: Begun): string =>
  [punched, threaded, glued, ...steps].join(" ");

export const begunGuard = new BegunGuard();
