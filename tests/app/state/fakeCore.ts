import { bundlePlan } from "../../../src/bundles/compensate.ts";
import type { SharedOut } from "../../../src/bundles/types.ts";
import { loadCatalog } from "../../../src/cli/catalogFiles.ts";
import type { Job } from "../../../src/job/schema.ts";
import { takeoffOf } from "../../../src/takeoff/bundled.ts";
import { NO_PAPER } from "../../../src/takeoff/types.ts";
import { planJob } from "../../../src/work/planJob.ts";
import type { AskPage } from "../../../src/app/worker/api.ts";
import { arrived, crossing } from "../../../src/app/worker/packedHoles.ts";
import { survey } from "../../../src/app/worker/survey.ts";

const catalog = await loadCatalog();

/** The core's worker, counting what it is asked; `refuse` is what it answers instead of a plan. */
export class FakeCore {
  surveys = 0;
  plans = 0;
  refuse: object | null = null;

  api(): object {
    return {
      survey: (job: Job, known: boolean) => (this.surveys++, survey(job, known)),
      plan: (job: Job) => (this.plans++, this.refuse ?? { ok: true, value: worked(job) }),
    };
  }
}

function worked(job: Job): object {
  const { pattern, ...plan } = planJob(job, catalog);
  const { projection } = plan;
  return { plan, holes: crossing({ projection, pattern, stars: 0, faintest: 0, instead: [] }) };
}

/** Workers that share out: by hand at once; by a solver, when `go` is called. Both ask the page for the holes. */
export class FakeSharing {
  asked: string[] = [];
  go: () => void = () => undefined;
  #page: AskPage | null = null;

  api(): object {
    return {
      meet: (page: AskPage) => void (this.#page = page),
      // What hand rules find no place for, a solver may find one for.
      share: async (job: Job) => this.#told("hand", lacking(await this.#bundles(job))),
      solve: async (job: Job) => {
        const bundles = await this.#bundles(job);
        const wait = new Promise<void>((go) => (this.go = go));
        const answer = this.#told("solver", bundles);
        await wait;
        return answer;
      },
      takeoff: (job: Job, { bundles }: SharedOut) => ({
        ok: true,
        value: takeoffOf(planJob(job, catalog), bundles, NO_PAPER),
      }),
    };
  }

  #told(how: string, bundles: SharedOut["bundles"]): object {
    this.asked.push(how);
    return { ok: true, value: { bundles, holes: null } };
  }

  async #bundles(job: Job): Promise<SharedOut["bundles"]> {
    const holes = await this.#page!.holes(job, job.sky.chosen);
    if (!holes.ok) throw new Error("the page knows no holes");
    const plan = { ...planJob(job, catalog), pattern: arrived(holes.value).pattern };
    return bundlePlan(plan, { solver: null }).bundles;
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
