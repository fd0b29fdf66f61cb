import { expose } from "comlink";
import { config } from "zod";
import { checkJob } from "../../check.ts";
import { readJob } from "../../job/read.ts";
import type { Job } from "../../job/schema.ts";
import { writeJob } from "../../job/write.ts";
import { clockWords } from "../../record/clock.ts";
import { readRecord, takeOver } from "../../record/read.ts";
import { choose } from "../../work/stage.ts";
import type { Work } from "../../work/work.ts";
import { answer, answerNow } from "./answer.ts";
import type { CoreApi } from "./api.ts";
import { survey } from "./survey.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

/** Not needed to open a job, and not small. */
const way = async (): Promise<Work> => (await import("./way.ts")).wayWith({});
let work: Promise<Work> | null = null;

const api: CoreApi = {
  readJob: (input) => answerNow(() => checkJob(input)),
  readRecord: (input, own) =>
    answerNow(() => {
      const record = readRecord(input);
      takeOver(own, record);
      return { entries: record.entries, clock: clockWords(record.entries, Date.now()) };
    }),
  refreshJobs: (jobs) => jobs.map(refreshed),
  survey,
  advice: (job, offers, aim) =>
    answer(async () => (await (work ??= way())).print(choose(job), "advice", { offers, aim })),
};

/** A job being worked on may hold what `checkJob` refuses, as a ceiling half surveyed; its parts say so. */
function refreshed(job: Job): Job | null {
  const read = answerNow(() => readJob(writeJob(job)));
  return read.ok ? read.value.job : null;
}

// comlink's answers are promises whatever `api` returns; the page sees Remote<CoreApi>.
expose(api);
