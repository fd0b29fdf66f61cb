import type { Job } from "../job/schema.ts";
import { choose, type Chosen, type Tools } from "../work/stage.ts";
import type { Work } from "../work/work.ts";
import { loadCatalog } from "./catalogFiles.ts";
import { loadJob } from "./loadJob.ts";
import type { Shell } from "./shell.ts";

/** Five stages of as many skies as a board has, or of the job at hand and the one it is compared with. */
const KEPT = 20;

/** What the way needs of Node. */
export const NODE: Tools = {
  catalog: once((deep: boolean) => loadCatalog({ deep })),
  sharer: async (job) => {
    const { sharerBy } = await import("../work/shareOut.ts");
    return sharerBy(() => import("./solver.ts").then(({ loadSolver }) => loadSolver()))(job);
  },
  fonts: (job) => import("./fonts.ts").then(({ loadFonts }) => loadFonts(JSON.stringify(job))),
};

function once<A, R>(load: (asked: A) => Promise<R>): (asked: A) => Promise<R> {
  const loaded = new Map<A, Promise<R>>();
  return (asked) => {
    const known = loaded.get(asked) ?? load(asked);
    loaded.set(asked, known);
    return known;
  };
}

/** The way, for one run of a command; it takes long to load, so only a sound job comes to it. */
async function startWork(tools: Tools): Promise<Work> {
  const { Work } = await import("../work/work.ts");
  return new Work(tools, KEPT);
}

/**
 * A job file ready to be worked out; `nightId` takes another of its skies than the chosen one, `change` what the
 * command asks to be otherwise. Throws JobFaults.
 */
export async function openJob(
  path: string,
  shell: Shell,
  nightId?: string,
  change: (job: Job) => Job = (job) => job,
): Promise<{ work: Work; chosen: Chosen; job: Job }> {
  shell.progress("Reading the job");
  const job = change((await loadJob(path, shell)).job);
  return { job, chosen: choose(job, nightId), work: await startWork(NODE) };
}
