import { proxy } from "comlink";
import type { SharedOut } from "../../bundles/types.ts";
import type { Job } from "../../job/schema.ts";
import { keyOf } from "../../work/reads.ts";
import type { Plan } from "../../plan.ts";
import { choose, type Made } from "../../work/stage.ts";
import { answerNow } from "./answer.ts";
import type { Answer, AskPage, Meets, PlanApi, SolveApi } from "./api.ts";
import { type Asked, type Hand, handOn } from "./hand.ts";
import { OneByOne } from "./oneByOne.ts";
import { arrived, crossing } from "./packedHoles.ts";

/** As many skies as are put side by side, and the job as it was before: holes of a large hall take room. */
const KEPT_HOLES = 5;
/** As many, and what each engine would cost for a tile. */
const KEPT_BUNDLES = 12;

/**
 * A worker that makes one stage of the way, one job after the other, each once for whoever asks and remembered. It is
 * ended where nobody wants any more what it is at.
 */
class Maker<Api, R> {
  #hand: Hand<Api> | null = null;
  readonly #queue: OneByOne<Answer<R>>;
  readonly #stage: "holes" | "bundles";
  readonly #start: () => Hand<Api>;
  readonly #make: (core: Asked<Api>, job: Job, nightId: string) => Promise<Answer<R>>;

  constructor(
    stage: "holes" | "bundles",
    { most, favoured }: { most: number; favoured: string },
    start: () => Hand<Api>,
    make: (core: Asked<Api>, job: Job, nightId: string) => Promise<Answer<R>>,
  ) {
    this.#stage = stage;
    this.#queue = new OneByOne({ most, worth: ({ ok }) => ok }, favoured);
    this.#start = start;
    this.#make = make;
  }

  /** null where this asker has meanwhile asked for another, or forgotten it. */
  async ask(asker: string, job: Job, nightId = job.sky.chosen): Promise<Answer<R> | null> {
    const key = answerNow(() => keyOf(choose(job, nightId), this.#stage));
    if (!key.ok) return key;
    return this.#queue.ask(asker, key.value, () => {
      const { core, stop } = (this.#hand ??= this.#start());
      return { result: this.#make(core, job, nightId), stop: () => (stop(), (this.#hand = null)) };
    });
  }

  /** This asker waits for nothing any more. */
  forget(asker: string): void {
    this.#queue.forget(asker);
  }

  knows(job: Job, nightId = job.sky.chosen): boolean {
    return this.#queue.knows(keyOf(choose(job, nightId), this.#stage));
  }
}

/** A plan to show, and the same as a stage of the way for whoever goes on from it. */
interface Worked {
  plan: Plan;
  holes: Made["holes"];
}

/** Settles holes: for what is shown, pictured and printed. Asker "studio" never waits for pictures. */
export const planning = new Maker<PlanApi, Worked>(
  "holes",
  { most: KEPT_HOLES, favoured: "studio" },
  () =>
    handOn(
      new Worker(new URL("./plan.worker.ts", import.meta.url), { type: "module", name: "velarium-plan" }),
    ),
  async (core, job, nightId) => {
    const answer = await core.plan(job, nightId);
    if (!answer.ok) return answer;
    const holes = arrived(answer.value.holes);
    return { ok: true, value: { plan: { ...answer.value.plan, pattern: holes.pattern }, holes } };
  },
);

/** Has the solver share tiles out: for what is shown, pictured and printed. */
export const solving = new Maker<SolveApi, SharedOut>(
  "bundles",
  { most: KEPT_BUNDLES, favoured: "sharing" },
  () =>
    introduced(
      "velarium-solver",
      new Worker(new URL("./solve.worker.ts", import.meta.url), { type: "module", name: "velarium-solver" }),
    ),
  (core, job, nightId) => core.solve(job, nightId),
);

/** The hand on a worker that takes holes and bundles from the makers, and makes none itself. */
export function introduced<Api extends Meets>(name: string, worker: Worker): Hand<Api> {
  const hand = handOn<Api>(worker);
  const ask: AskPage = {
    // settled once whoever drops it: another picture of the same job may wait for it
    holes: async (job, nightId) => {
      const answer = await planning.ask(`${name} ${keyOf(choose(job, nightId), "holes")}`, job, nightId);
      return answer?.ok ? { ok: true, value: crossing(answer.value.holes) } : (answer ?? CHANGED);
    },
    bundles: async (job, nightId) => (await solving.ask(`${name} ${nightId}`, job, nightId)) ?? CHANGED,
  };
  void (hand.core as unknown as Asked<Meets>).meet(proxy(ask));
  return hand;
}

const CHANGED = {
  ok: false,
  cannot: { message: "The job has changed meanwhile.", next: "Take the newer file." },
} as const;
