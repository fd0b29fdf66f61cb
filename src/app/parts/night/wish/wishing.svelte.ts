import { proxy } from "comlink";
import type { Job } from "../../../../job/schema.ts";
import type { SearchResult } from "../../../../choose/search.ts";
import type { Wish } from "../worker/api.ts";
import { startNightWorker } from "../worker/client.ts";
import { words } from "../sky/live.svelte.ts";
import { ofOneJob } from "../../../state/ofOneJob.ts";

/** A search for nights in a worker of its own, which is ended to stop it. */
class Wishing {
  share = $state(0);
  doing = $state("");
  running = $state(false);
  result = $state.raw<SearchResult | null>(null);
  fault = $state("");
  #stop: (() => void) | null = null;

  constructor() {
    ofOneJob(() => {
      this.stop();
      this.result = null;
      this.fault = "";
    });
  }

  async start(job: Job, wish: Wish): Promise<void> {
    this.stop();
    const { core, stop } = startNightWorker("velarium-wish");
    this.#stop = stop;
    this.running = true;
    this.share = 0;
    this.doing = "Reading the stars";
    this.fault = "";
    this.result = null;
    try {
      const told = proxy((share: number, doing: string) => {
        this.share = share;
        this.doing = doing;
      });
      const answer = await core.search(job, wish, told);
      if (this.#stop !== stop) return;
      if (answer.ok) this.result = answer.value;
      else this.fault = words(answer);
    } catch (error) {
      console.error(error);
      if (this.#stop === stop) this.fault = "The search stopped. Try again.";
    } finally {
      if (this.#stop === stop) this.stop();
    }
  }

  stop(): void {
    this.#stop?.();
    this.#stop = null;
    this.running = false;
  }
}

export const wishing = new Wishing();
