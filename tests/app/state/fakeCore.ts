import { bundlePlan } from "../../../src/bundles/compensate.ts";
import type { SharedOut } from "../../../src/bundles/types.ts";
import { loadCatalog } from "../../../src/cli/catalogFiles.ts";
import type { Job } from "../../../src/job/schema.ts";
import type { Plan } from "../../../src/plan.ts";
import { takeoffOf } from "../../../src/takeoff/bundled.ts";
import { NO_PAPER } from "../../../src/takeoff/types.ts";
import { planJob } from "../../../src/work/planJob.ts";
import { choose } from "../../../src/work/stage.ts";
import { survey } from "../../../src/app/worker/survey.ts";

const catalog = await loadCatalog();

/** The core's worker, counting what it is asked; `refuse` is what it answers instead of a plan. */
export class FakeCore {
  surveys = 0;
  plans = 0;
  refuse: object | null = null;

  api(): object {
    return {
      survey: (job: Job) => (this.surveys++, survey(job)),
      plan: (job: Job) => (this.plans++, this.refuse ?? { ok: true, value: planJob(job, catalog) }),
    };
  }
}

/** A worker that shares out: by hand at once; where it is asked for a solver, when `solve` is called. */
export class FakeSharing {
  asked: string[] = [];
  solve: () => void = () => undefined;
  #plan: Plan | null = null;

  api(): object {
    return {
      open: (plan: Plan) => void (this.#plan = plan),
      share: (job: Job, how: string) => this.#share(job, how),
      takeoff: (job: Job, { bundles }: SharedOut) => ({
        ok: true,
        value: takeoffOf({ ...this.#plan!, job }, bundles, NO_PAPER),
      }),
    };
  }

  async #share(job: Job, how: string): Promise<object> {
    this.asked.push(how);
    if (how === "solver") await new Promise<void>((go) => (this.solve = go));
    const plan = { ...this.#plan!, job, night: choose(job).night };
    const { bundles } = bundlePlan(plan, { solver: null });
    // What hand rules find no place for, a solver may find one for.
    return { ok: true, value: { bundles: how === "hand" ? lacking(bundles) : bundles, holes: null } };
  }
}

function lacking(bundles: SharedOut["bundles"]): SharedOut["bundles"] {
  const { hole, tile } = bundles.strands[0]!;
  const fault = { code: "no-room" as const, path: "bundles.engines", expected: "a place", got: "1 left dark", next: "Add one." }; // prettier-ignore
  return {
    ...bundles,
    unlit: [{ hole, tile, why: "no room", strands: 1 }],
    faults: [...bundles.faults, fault],
  };
}
