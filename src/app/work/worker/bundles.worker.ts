import { expose, transfer } from "comlink";
import { config } from "zod";
import type { Job } from "../../../job/schema.ts";
import type { Plan, Planned } from "../../../plan.ts";
import { changesBetween } from "../../../revision/changes.ts";
import { paperFacts } from "../../../sheets/laid.ts";
import { takeoffOf } from "../../../takeoff/bundled.ts";
import { sharerBy } from "../../../work/shareOut.ts";
import { catalogFor, choose, planned } from "../../../work/stage.ts";
import { answer, answerNow } from "../../worker/answer.ts";
import type { BundlesApi, PrintedBefore, SharedOut } from "./api.ts";
import { makePackFile } from "./files.ts";
import { sheetFonts } from "../../worker/fonts.ts";
import { BROWSER, work } from "../../worker/way.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

let opened: Plan | null = null;
let stopping: AbortController | null = null;

/** Lets messages in, so that making can be told to stop. */
const breathe = (): Promise<void> => new Promise((done) => setTimeout(done));

function planFor(job: Job, holes: SharedOut["holes"] = null, plan: Plan | null = opened): Planned {
  if (plan === null) throw new Error("no plan is open in the bundles worker");
  const whole = { ...plan, job, night: choose(job).night };
  return holes ? { ...whole, pattern: { ...plan.pattern, holes } } : whole;
}

const byHand = sharerBy(null);

async function sharedOut(job: Job, how: "hand" | "solver"): Promise<SharedOut> {
  const catalog = await catalogFor(BROWSER, choose(job));
  const share = await (how === "solver" ? BROWSER.sharer : byHand)(job);
  return share(planFor(job), catalog);
}

async function versionOf(before: PrintedBefore): Promise<Parameters<typeof changesBetween>[0]> {
  if ("job" in before) {
    const made = await work.upTo(choose(before.job), "bundles");
    return { plan: planned(made), bundles: made.bundles.bundles };
  }
  const { bundles, holes } = before.shared;
  return { plan: planFor(before.printed, holes, before.plan), bundles };
}

const api: BundlesApi = {
  open: (plan) => {
    opened = plan;
  },
  share: (job, how) => answer(() => sharedOut(job, how)),
  takeoff: (job, { bundles, holes }) =>
    answerNow(() => {
      const plan = planFor(job, holes);
      return takeoffOf(plan, bundles, paperFacts(plan));
    }),
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
