import { wrap } from "comlink";
import type { Job } from "../../job/schema.ts";
import type { Plan } from "../../plan.ts";
import type { Answer, PlanApi } from "./api.ts";
import type { Asked } from "./client.ts";

/** How long a newer wish waits for the plan under way; most plans are done by then, and starting anew costs too. */
const PATIENCE_MS = 300;

interface Hand {
  core: Asked<PlanApi>;
  worker: Worker;
}

/**
 * Plans in a worker of its own, so that reading, surveying and opening a job never wait for it. A plan that nobody
 * wants any more is broken off with its worker, and comes to null.
 */
export class Planner {
  #hand: Hand | null = null;
  #giveUp: (() => void) | null = null;

  async plan(job: Job): Promise<Answer<Plan> | null> {
    this.#hand ??= newHand();
    const { core, worker } = this.#hand;
    const givenUp = new Promise<null>((done) => {
      this.#giveUp = () => {
        worker.terminate();
        this.#hand = null;
        this.#giveUp = null;
        done(null);
      };
    });
    const answer = await Promise.race([core.plan(job), givenUp]);
    if (answer !== null) this.#giveUp = null;
    return answer;
  }

  /** Breaks off the plan under way. */
  stop(): void {
    this.#giveUp?.();
  }

  /** A newer wish is coming: the plan under way has a moment left. */
  hurry(): void {
    const mine = this.#giveUp;
    if (mine) setTimeout(() => this.#giveUp === mine && mine(), PATIENCE_MS);
  }
}

function newHand(): Hand {
  const worker = new Worker(new URL("./plan.worker.ts", import.meta.url), {
    type: "module",
    name: "velarium-plan",
  });
  return { worker, core: wrap<PlanApi>(worker) as unknown as Asked<PlanApi> };
}
