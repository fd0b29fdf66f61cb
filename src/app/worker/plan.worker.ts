import { expose } from "comlink";
import { config } from "zod";
import { choose, planOf } from "../../work/stage.ts";
import { answer } from "./answer.ts";
import type { PlanApi } from "./api.ts";
import { crossing } from "./packedHoles.ts";
import { wayWith } from "./way.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

const work = wayWith({});

const api: PlanApi = {
  plan: (job, nightId) =>
    answer(async () => {
      const made = await work.upTo(choose(job, nightId), "holes");
      // what is said of the document itself is no matter of its holes
      const { pattern: _, ...plan } = planOf({ ...made, warnings: { ...made.warnings, job: [] } });
      return { plan, holes: crossing(made.holes) };
    }),
};

expose(api);
