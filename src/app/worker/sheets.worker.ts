import { expose, transfer } from "comlink";
import { config } from "zod";
import type { Job } from "../../job/schema.ts";
import { outlined } from "../../sheets/outlined.ts";
import { toSvg } from "../../sheets/svg.ts";
import { answer } from "./answer.ts";
import { catalogFor } from "./catalogFetch.ts";
import type { SheetsApi } from "./sheetsApi.ts";
import { makeFile } from "./sheetsFiles.ts";
import { sheetFonts } from "./sheetsFonts.ts";
import { makePack, type Pack, summaryOf } from "./sheetsPack.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

let pack: Promise<Pack> | null = null;
let stopping: AbortController | null = null;

/** Lets messages in, so that making can be told to stop. */
const breathe = (): Promise<void> => new Promise((done) => setTimeout(done));

async function packFor(job: Job): Promise<Pack> {
  const [catalog, fonts] = await Promise.all([catalogFor(job), sheetFonts()]);
  return makePack(job, catalog, fonts);
}

const api: SheetsApi = {
  open: (job) => {
    const opened = packFor(job);
    pack = opened;
    return answer(async () => summaryOf(await opened));
  },
  page: async (index) => {
    const { pages, fonts } = (await pack) ?? {};
    const page = pages?.[index];
    return page && fonts ? toSvg(outlined(page.draw(), fonts)) : null;
  },
  make: async (order, onProgress) => {
    stopping?.abort();
    const stop = new AbortController();
    stopping = stop;
    try {
      const made = await answer(async () => {
        const opened = await pack;
        if (opened === null) throw new Error("no job is open in the sheets worker");
        return makeFile(opened, order, {
          signal: stop.signal,
          onProgress: async (done, total) => {
            onProgress(done, total);
            await breathe();
          },
        });
      });
      return made.ok ? transfer(made, [made.value.bytes.buffer]) : made;
    } catch (error) {
      if (stop.signal.aborted) return { ok: false, stopped: true };
      throw error;
    }
  },
  stop: () => stopping?.abort(),
};

expose(api);
