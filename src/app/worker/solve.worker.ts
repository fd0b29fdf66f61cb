import { expose } from "comlink";
import { config } from "zod";
import { sharerBy } from "../../work/shareOut.ts";
import { choose } from "../../work/stage.ts";
import { answer } from "./answer.ts";
import type { SolveApi } from "./api.ts";
import { meet, wayWith } from "./way.ts";
import { browserSolver } from "./solverLoad.ts";

// zod's compiled parsers need `eval`, which the Content-Security-Policy forbids.
config({ jitless: true });

const work = wayWith({ sharer: sharerBy(browserSolver) }, "holes");

const api: SolveApi = {
  meet,
  solve: (job, nightId) => answer(async () => (await work.upTo(choose(job, nightId), "bundles")).bundles),
};

expose(api);
