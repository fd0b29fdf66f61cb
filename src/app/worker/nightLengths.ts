import { hasEngines, litPlan, type LitPlan } from "../../bundles/litPlan.ts";
import { CannotDo, JobFaults } from "../../job/faults.ts";
import type { Plan } from "../../plan.ts";
import { omit } from "../state/omit.ts";
import type { SharedOut } from "./bundlesApi.ts";
import { startBundlesWorker } from "./bundlesClient.ts";
import { holesKey } from "./nightPlans.ts";
import { OneByOne, type Running } from "./oneByOne.ts";
import { Recent } from "./recent.ts";
import { bundledBy } from "./sharedOut.ts";

/** Nights whose tiles are shared out, so that a change of seat asks no solver. */
const known = new Recent<SharedOut>(6);
const asked = new OneByOne<SharedOut>();
let worker: ReturnType<typeof startBundlesWorker> | null = null;

/** The plan with its strands' lengths, if they are known; null where tiles have yet to be shared out. */
export function litNow(plan: Plan): LitPlan | null {
  if (!hasEngines(plan.job)) return { plan };
  const shared = known.get(keyOf(plan));
  return shared ? litPlan(bundledBy(plan, shared)) : null;
}

/**
 * The plan with its strands' lengths as soon as a worker of their own has shared the tiles out: as the command
 * line does it. null when this asker has meanwhile asked for another. Throws JobFaults, CannotDo.
 */
export async function litSoon(asker: string, plan: Plan): Promise<LitPlan | null> {
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

function shareOut(plan: Plan): Running<SharedOut> {
  worker ??= startBundlesWorker("velarium-lengths");
  const { core, stop } = worker;
  void core.open(plan);
  const result = core.share(plan.job, "solver").then((answer) => {
    if (answer.ok) return answer.value;
    if ("faults" in answer) throw new JobFaults(answer.faults);
    throw new CannotDo(answer.cannot.message, answer.cannot.next);
  });
  // A solver can't be interrupted: its worker goes.
  return { result, stop: () => (stop(), (worker = null)) };
}

/** Labels move no strand. */
function keyOf({ job, night }: Plan): string {
  return holesKey(job, night) + JSON.stringify(omit(job.bundles, "labels"));
}
