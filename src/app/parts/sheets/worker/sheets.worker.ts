import { expose } from "comlink";
import { config } from "zod";
import { issueTiles } from "../../../../issue/make.ts";
import type { Job } from "../../../../job/schema.ts";
import { outlined } from "../../../../drawing/outlined.ts";
import { toSvg } from "../../../../drawing/svg.ts";
import { choose, planned } from "../../../../work/stage.ts";
import { answer } from "../../../worker/answer.ts";
import { work } from "../../../worker/drawing.ts";
import { making, stopMaking } from "../../../worker/making.ts";
import { BROWSER, meet } from "../../../worker/way.ts";
import type { Recorded, SheetsApi } from "./api.ts";
import { makeSheetsFile } from "./files.ts";
import { layOut, type Shown, summaryOf, withEngines } from "./shown.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

interface Opened {
  job: Job;
  record: Recorded;
  laidOut: Promise<Shown>;
  /** Sharing tiles out to engines takes seconds, so it waits until a page is wanted. */
  printed: Promise<Shown> | null;
  sharedOut: boolean;
}
let opened: Opened | null = null;

async function printed(mine: Opened): Promise<Shown> {
  mine.printed ??= mine.laidOut.then(() => withEngines(mine.job, mine.record));
  const shown = await mine.printed;
  mine.sharedOut = true;
  return shown;
}

const api: SheetsApi = {
  meet,
  open: (job, record) => {
    const laidOut = layOut(job, record);
    opened = { job, record, laidOut, printed: null, sharedOut: false };
    return answer(async () => summaryOf(await laidOut));
  },
  page: async (index, whole) => {
    const mine = opened;
    const laid = await mine?.laidOut;
    if (!mine || !laid) return null;
    const early = !whole && mine.job.bundles.engines.length > 0 && !mine.sharedOut;
    const { pages, fonts } = early ? laid : await printed(mine);
    const page = pages[index];
    return page ? { svg: toSvg(outlined(page.draw(), fonts)), whole: !early } : null;
  },
  make: (order, record, onProgress) =>
    making(onProgress, (stoppable) => {
      const how = { ...stoppable, ...(record && { record }) };
      if (opened === null) throw new Error("no job is open in the sheets worker");
      return makeSheetsFile({ work, fonts: BROWSER.fonts }, opened.job, order, how);
    }),
  stop: stopMaking,
  issue: (job, on, tiles) =>
    answer(async () => {
      const made = await work.upTo(choose(job), "bundles");
      const { bundles, holes } = made.bundles;
      const how = { on, exchanged: holes !== null, ...(tiles && { tiles }) };
      const issue = issueTiles(planned(made), bundles, how);
      const dark = bundles.unlit.filter(({ tile }) => issue.tiles.includes(tile)).length;
      return { issued: issue.job.issued, done: issue.tiles, held: issue.held, dark };
    }),
};

expose(api);
