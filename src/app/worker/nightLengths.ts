import { hasEngines, litPlan, type LitPlan } from "../../bundles/litPlan.ts";
import { CannotDo, JobFaults } from "../../job/faults.ts";
import type { Planned } from "../../plan.ts";
import { Recent } from "../../work/recent.ts";
import { keyOf as keyOfWay } from "../../work/reads.ts";
import type { SharedOut } from "./bundlesApi.ts";
import { startBundlesWorker } from "./bundlesClient.ts";
import { OneByOne, type Running } from "./oneByOne.ts";
import { bundledBy } from "./sharedOut.ts";

/** Nights whose tiles are shared out, so that a change of seat asks no solver. */
const known = new Recent<SharedOut>(6);
const asked = new OneByOne<SharedOut>();
let worker: ReturnType<typeof startBundlesWorker> | null = null;

/** The plan with its strands' lengths, if they are known; null where tiles have yet to be shared out. */
export function litNow(plan: Planned): LitPlan | null {
  if (!hasEngines(plan.job)) return { plan };
  const shared = known.get(keyOf(plan));
  return shared ? litPlan(bundledBy(plan, shared)) : null;
}

/**
 * The plan with its strands' lengths as soon as a worker of their own has shared the tiles out: as the command
 * line does it. null when this asker has meanwhile asked for another. Throws JobFaults, CannotDo.
 */
export async function litSoon(asker: string, plan: Planned): Promise<LitPlan | null> {
  const now = litNow(plan);
  if (now) return now;
  const key = keyOf(plan);
  const shared = await asked.ask(asker, key, () => shareOut(plan));
  if (!shared) return null;
  known.set(key, shared);
  return litPlan(bundledBy(plan, shared));
}

/** This asker waits for nothing any more. */
export function forgetLit(asker: string): void {
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

const keyOf = ({ job, night }: Planned): string => keyOfWay({ job, night, at: "" }, "bundles");
