import { expose, transfer } from "comlink";
import { config } from "zod";
import type { Job } from "../../../../job/schema.ts";
import { outlined } from "../../../../drawing/outlined.ts";
import { toSvg } from "../../../../drawing/svg.ts";
import { answer } from "../../../worker/answer.ts";
import type { SheetsApi, SheetsOrder } from "./api.ts";
import { makeFile } from "./files.ts";
import { layOut, type Pack, summaryOf, withEngines } from "./pack.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

interface Opened {
  job: Job;
  laidOut: Promise<Pack>;
  /** Sharing tiles out to engines takes seconds, so it waits until a page is wanted. */
  printed: Promise<Pack> | null;
  sharedOut: boolean;
}
let opened: Opened | null = null;
let stopping: AbortController | null = null;

/** Lets messages in, so that making can be told to stop. */
const breathe = (): Promise<void> => new Promise((done) => setTimeout(done));

async function printed(): Promise<Pack> {
  if (opened === null) throw new Error("no job is open in the sheets worker");
  const mine = opened;
  mine.printed ??= mine.laidOut.then(() => withEngines(mine.job));
  const pack = await mine.printed;
  mine.sharedOut = true;
  return pack;
}

/** A test page has no engine on it. */
function packFor(order: SheetsOrder): Promise<Pack> {
  return order.what === "printer-test" && opened !== null ? opened.laidOut : printed();
}

const api: SheetsApi = {
  open: (job) => {
    const pack = layOut(job);
    opened = { job, laidOut: pack, printed: null, sharedOut: false };
    return answer(async () => summaryOf(await pack));
  },
  page: async (index, whole) => {
    const laid = await opened?.laidOut;
    if (laid === undefined) return null;
    const early = !whole && laid.plan.job.bundles.engines.length > 0 && !opened?.sharedOut;
    const { pages, fonts } = early ? laid : await printed();
    const page = pages[index];
    return page ? { svg: toSvg(outlined(page.draw(), fonts)), whole: !early } : null;
  },
  make: async (order, onProgress) => {
    stopping?.abort();
    const stop = new AbortController();
    stopping = stop;
    try {
      const made = await answer(async () =>
        makeFile(await packFor(order), order, {
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
