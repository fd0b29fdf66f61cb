import { about } from "../../job/codes.ts";
import type { Bundles } from "../../bundles/types.ts";
import type { Job } from "../../job/schema.ts";
import { countStrands } from "../../pattern/packing.ts";
import type { Plan } from "../../plan.ts";
import type { Takeoff } from "../../takeoff/types.ts";
import { punched } from "../state/punched.svelte.ts";
import { studio } from "../state/studio.svelte.ts";
import { same } from "../../work/reads.ts";
import type { Answer } from "../worker/api.ts";
import type { SharedOut } from "./worker/api.ts";
import { bundlesCore } from "./worker/client.ts";
import { latest } from "../worker/latest.ts";
import { solving } from "../worker/makers.ts";

/** How long the hand has to rest before the solver is asked. */
const SOLVE_AFTER_MS = 350;
/** A solver that takes longer than this lets the hand rules speak first. */
const HAND_FIRST_MS = 1200;

/** Who asks the solver: for what is shown, and for a comparison. */
const ASKER = "sharing";
const COMPARER = "comparison";

/** Who shared out what is shown. */
export type How = "hand" | "solver" | "stopped";

interface Question {
  job: Job;
  plan: Plan;
}

/**
 * How the holes are shared out to engines, and what is ordered for it. Hand rules answer while the hand
 * moves; the solver answers when it rests, once for what is shown, pictured and printed.
 */
class Sharing {
  #asked: Question | null = null;
  #moving = false;
  #held: { shared: SharedOut; question: Question } | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #handTimer: ReturnType<typeof setTimeout> | undefined;
  #shownOf = $state.raw<Job | null>(null);
  #takeoffOf: { job: Job; shared: SharedOut } | null = null;

  shared = $state.raw<SharedOut | null>(null);
  how = $state<How>("hand");
  takeoff = $state.raw<Takeoff | null>(null);
  /** The solver at work: since when (performance.now) and for how long at most. */
  solving = $state.raw<{ sinceMs: number; limitS: number } | null>(null);
  cannot = $state("");

  /** Shown until the solver has answered. What hand rules find no place for is no fault yet: it may. */
  readonly first = $derived(this.how === "hand");
  readonly bundles = $derived<Bundles | null>(
    this.shared && (this.first ? firstAnswer(this.shared.bundles) : this.shared.bundles),
  );
  /** Strands that have no place in what is shown. */
  readonly dark = $derived(countStrands(this.shared?.bundles.unlit ?? []));
  /** What is shown belongs to the job as it stands, and nobody is still working on a better one. */
  readonly settled = $derived(
    this.how === "solver" &&
      this.solving === null &&
      !studio.planning &&
      this.#shownOf !== null &&
      same("bundles", this.#shownOf, studio.job),
  );

  /** Keeps the sharing-out beside the job; called whenever plan or job change. */
  follow(plan: Plan | null, job: Job, dragging: boolean): void {
    if (plan === null || studio.planOf === null || !same("holes", studio.planOf, job)) return;
    const question: Question = { plan, job };
    const before = this.#asked;
    const asBefore = before !== null && same("bundles", before.job, job);
    this.#asked = question;
    if (asBefore && dragging === this.#moving) {
      if (this.shared && this.#shownOf && same("bundles", this.#shownOf, job)) this.#order(job, this.shared);
      return;
    }
    if (!dragging && solving.knows(job)) {
      this.#moving = false;
      clearTimeout(this.#timer);
      return void this.#solve(question);
    }
    const rests = this.#moving && !dragging && asBefore;
    this.#moving = dragging;
    if (!rests || this.how !== "hand") this.#hand(question);
    this.#endSolving();
    clearTimeout(this.#timer);
    if (!dragging) this.#timer = setTimeout(() => void this.#solve(question), SOLVE_AFTER_MS);
  }

  /** Leaves it at the hand rules. */
  stop(): void {
    this.#endSolving();
    this.#showHeld();
    this.how = "stopped";
  }

  /** Asks the solver once more. */
  again(): void {
    if (this.#asked) void this.#solve(this.#asked);
  }

  /** Asks the solver about another job of the same plan, for a comparison; null when something came between. */
  async compare(job: Job): Promise<SharedOut | null> {
    if (this.solving !== null) return null;
    const answer = await solving.ask(COMPARER, job);
    return answer?.ok ? answer.value : null;
  }

  readonly #hand = latest(
    (question: Question) => bundlesCore().share(question.job),
    (answer, question) => {
      if (!this.#stillAsked(question) && !this.#moving) return;
      if (!this.#read(answer)) return;
      const first = this.shared === null || this.#moving;
      this.#held = { shared: answer.value, question };
      if (first) this.#showHeld();
      else {
        clearTimeout(this.#handTimer);
        this.#handTimer = setTimeout(() => this.#showHeld(), HAND_FIRST_MS);
      }
    },
    (error) => this.#defect(error),
  );

  #showHeld(): void {
    clearTimeout(this.#handTimer);
    if (this.#held) this.#show(this.#held.shared, this.#held.question, "hand");
    this.#held = null;
  }

  #show(shared: SharedOut, question: Question, how: How): void {
    this.shared = shared;
    this.how = how;
    this.#shownOf = question.job;
    punched.exchange = { job: question.job, holes: shared.holes ?? question.plan.pattern.holes };
    this.#order(this.#stillAsked(question) ? this.#asked!.job : question.job, shared);
  }

  #stillAsked({ job }: Question): boolean {
    return this.#asked !== null && same("bundles", this.#asked.job, job);
  }

  async #solve(question: Question): Promise<void> {
    this.#endSolving();
    const run = { sinceMs: performance.now(), limitS: question.job.bundles.timeLimitS };
    this.solving = run;
    try {
      const answer = await solving.ask(ASKER, question.job);
      if (this.solving !== run || answer === null) return;
      this.solving = null;
      clearTimeout(this.#handTimer);
      this.#held = null;
      if (this.#read(answer)) this.#show(answer.value, question, "solver");
    } catch (error) {
      if (this.solving !== run) return;
      this.solving = null;
      this.#defect(error);
    }
  }

  /** Nobody here waits for the solver any more: it is stopped, unless a picture or a paper does. */
  #endSolving(): void {
    this.solving = null;
    solving.forget(ASKER);
    solving.forget(COMPARER);
  }

  #order(job: Job, shared: SharedOut): void {
    const before = this.#takeoffOf;
    if (before?.shared === shared && same("takeoff", before.job, job)) return;
    this.#takeoffOf = { job, shared };
    this.#reckon({ job, shared });
  }

  readonly #reckon = latest(
    ({ job, shared }: { job: Job; shared: SharedOut }) => bundlesCore().takeoff(job, shared),
    (answer) => {
      if (answer.ok) this.takeoff = answer.value;
      else this.#read(answer);
    },
    (error) => this.#defect(error),
  );

  #read<T>(answer: Answer<T>): answer is { ok: true; value: T } {
    this.cannot = "";
    if (answer.ok) return true;
    this.cannot =
      "faults" in answer
        ? answer.faults.map((f) => `Expected ${f.expected}, found ${f.got}. ${f.next}`).join(" ")
        : `${answer.cannot.message} ${answer.cannot.next}`;
    return false;
  }

  #defect(error: unknown): void {
    console.error(error);
    this.cannot =
      "Tiles could not be assigned to engines. The job itself is kept; change something to try again.";
  }
}

const firstAnswer = (bundles: Bundles): Bundles => ({
  ...bundles,
  unlit: [],
  faults: bundles.faults.filter((fault) => about([fault], "engines").length === 0),
});

export const sharing = new Sharing();
