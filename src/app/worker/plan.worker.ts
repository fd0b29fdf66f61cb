import { expose } from "comlink";
import { config } from "zod";
import { choose, planOf } from "../../work/stage.ts";
import { answer } from "./answer.ts";
import type { PlanApi } from "./api.ts";
import { work } from "./way.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

const api: PlanApi = {
  plan: (job) => answer(async () => planOf(await work.upTo(choose(job), "holes"))),
};

expose(api);
