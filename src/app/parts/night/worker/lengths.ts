import { hasEngines } from "../../../../bundles/litPlan.ts";
import { CannotDo, JobFaults } from "../../../../job/faults.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Planned } from "../../../../plan.ts";
import { keyOf } from "../../../../work/reads.ts";
import { choose, planned } from "../../../../work/stage.ts";
import type { SharedOut } from "../../../work/worker/api.ts";
import { startBundlesWorker } from "../../../work/worker/client.ts";
import { OneByOne, type Running } from "../../../worker/oneByOne.ts";
import { work } from "../../../worker/way.ts";

const asked = new OneByOne<SharedOut>();
let worker: ReturnType<typeof startBundlesWorker> | null = null;

/** Whether a night can be shown at once as its strands will shine: nobody has to share its tiles out first. */
export function isShared(job: Job, nightId: string): boolean {
  return !hasEngines(job) || work.knows(choose(job, nightId), "bundles");
}

/**
 * Has a night's tiles shared out by a worker of their own, so that pictures go on meanwhile; this worker's way then
 * knows it. false when this asker has meanwhile asked for another. Throws JobFaults, CannotDo.
 */
export async function shareSoon(asker: string, job: Job, nightId: string): Promise<boolean> {
  if (isShared(job, nightId)) return true;
  const chosen = choose(job, nightId);
  const plan = planned(await work.upTo(chosen, "holes"));
  const shared = await asked.ask(asker, keyOf(chosen, "bundles"), () => shareOut(plan));
  if (shared) work.know(chosen, "bundles", shared);
  return shared !== null;
}

/** The same for what is made once: throws CannotDo when it is wanted no more. */
export async function shareFirst(asker: string, job: Job, nightId: string): Promise<void> {
  if (!(await shareSoon(asker, job, nightId)))
    throw new CannotDo("The job has changed meanwhile.", "Take the newer file.");
}

/** This asker waits for nothing any more. */
export function forgetShared(asker: string): void {
  asked.forget(asker);
}

function shareOut(plan: Planned): Running<SharedOut> {
  worker ??= startBundlesWorker("velarium-lengths");
  const { core, stop } = worker;
  void core.open(plan);
  const result = core
    .share({ ...plan.job, sky: { ...plan.job.sky, chosen: plan.night.id } }, "solver")
    .then((answer) => {
      if (answer.ok) return answer.value;
      if ("faults" in answer) throw new JobFaults(answer.faults);
      throw new CannotDo(answer.cannot.message, answer.cannot.next);
    });
  // A solver can't be interrupted: its worker goes.
  return { result, stop: () => (stop(), (worker = null)) };
}
