import { expose, transfer } from "comlink";
import { config } from "zod";
import { bundlePlan } from "../../bundles/compensate.ts";
import type { Job } from "../../job/schema.ts";
import { planJob, type Plan } from "../../plan.ts";
import { changesBetween } from "../../sheets/pack/changes.ts";
import { takeoffOf } from "../../sheets/pack/files.ts";
import { answer, answerNow } from "./answer.ts";
import { solvedPlan } from "./bundledPlan.ts";
import type { BundlesApi, PrintedBefore, SharedOut } from "./bundlesApi.ts";
import { makePackFile } from "./bundlesFiles.ts";
import { catalogFor } from "./catalogFetch.ts";
import { bundledBy } from "./sharedOut.ts";
import { sheetFonts } from "./sheetsFonts.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

let opened: Plan | null = null;
let stopping: AbortController | null = null;

/** Lets messages in, so that making can be told to stop. */
const breathe = (): Promise<void> => new Promise((done) => setTimeout(done));

function planFor(job: Job, holes: SharedOut["holes"] = null): Plan {
  if (opened === null) throw new Error("no plan is open in the bundles worker");
  const plan = { ...opened, job };
  return holes ? { ...plan, pattern: { ...plan.pattern, holes } } : plan;
}

async function sharedOut(job: Job, how: "hand" | "solver"): Promise<SharedOut> {
  const plan = planFor(job);
  const catalog = await catalogFor(job);
  const made =
    how === "solver"
      ? await solvedPlan(plan, catalog)
      : bundlePlan(plan, { solver: null, figures: catalog.figures });
  const exchanged = made.plan.pattern.holes !== plan.pattern.holes;
  return { bundles: made.bundles, holes: exchanged ? made.plan.pattern.holes : null };
}

async function versionOf(before: PrintedBefore): Promise<Parameters<typeof changesBetween>[0]> {
  if ("job" in before) {
    const catalog = await catalogFor(before.job);
    return solvedPlan(planJob(before.job, catalog), catalog);
  }
  return bundledBy(before.plan, before.shared);
}

const api: BundlesApi = {
  open: (plan) => {
    opened = plan;
  },
  share: (job, how) => answer(() => sharedOut(job, how)),
  takeoff: (job, { bundles, holes }) => answerNow(() => takeoffOf(planFor(job, holes), bundles)),
  changes: (job, { bundles, holes }, before) =>
    answer(async () => changesBetween(await versionOf(before), { plan: planFor(job, holes), bundles })),
  make: async (job, { bundles, holes }, order, changes, onProgress) => {
    stopping?.abort();
    const stop = new AbortController();
    stopping = stop;
    try {
      const made = await answer(async () =>
        makePackFile(planFor(job, holes), bundles, order, {
          fonts: await sheetFonts(),
          changes,
          signal: stop.signal,
          onProgress: async (done, total) => {
            onProgress(done, total);
            await breathe();
          },
        }),
      );
      return made.ok ? transfer(made, [made.value.bytes.buffer]) : made;
    } catch (error) {
      if (stop.signal.aborted) return { ok: false, stopped: true };
      throw error;
    }
  },
  stop: () => stopping?.abort(),
};

expose(api);
