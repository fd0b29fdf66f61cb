import { expose } from "comlink";
import { config } from "zod";
import type { Job } from "../../../job/schema.ts";
import { changesBetween } from "../../../revision/changes.ts";
import { paperFacts } from "../../../sheets/laid.ts";
import { takeoffOf } from "../../../takeoff/bundled.ts";
import { catalogFor, choose, planned } from "../../../work/stage.ts";
import { answer } from "../../worker/answer.ts";
import { work } from "../../worker/drawing.ts";
import { making, stopMaking } from "../../worker/making.ts";
import { BROWSER, meet } from "../../worker/way.ts";
import type { BundlesApi } from "./api.ts";
import { makePackFile } from "./files.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

async function version(job: Job): Promise<Parameters<typeof changesBetween>[0]> {
  const made = await work.upTo(choose(job), "bundles");
  return { plan: planned(made), bundles: made.bundles.bundles };
}

const api: BundlesApi = {
  meet,
  share: (job) =>
    answer(async () => {
      const chosen = choose(job);
      const [made, catalog, share] = await Promise.all([
        work.upTo(chosen, "holes"),
        catalogFor(BROWSER, chosen),
        BROWSER.sharer(job),
      ]);
      return share(planned(made), catalog);
    }),
  takeoff: (job, shared) =>
    answer(async () => {
      const plan = planned({ ...(await work.upTo(choose(job), "holes")), bundles: shared });
      return takeoffOf(plan, shared.bundles, paperFacts(plan));
    }),
  changes: (before, now) => answer(async () => changesBetween(await version(before), await version(now))),
  make: (job, order, changes, record, onProgress) =>
    making(onProgress, (how) =>
      makePackFile(work, job, order, { changes, ...(record && { record }), ...how }),
    ),
  stop: stopMaking,
};

expose(api);
