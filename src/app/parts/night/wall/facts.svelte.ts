import type { Job } from "../../../../job/schema.ts";
import { latest } from "../../../worker/latest.ts";
import type { NightFacts } from "../worker/api.ts";
import { sceneCore } from "../worker/client.ts";
import { words } from "../sky/live.svelte.ts";
import { ofOneJob } from "../../../state/ofOneJob.ts";

/** What is known of the nights being compared, by id; asked anew when the job changes. */
class Facts {
  byId = $state.raw<Record<string, NightFacts>>({});
  faults = $state.raw<Record<string, string>>({});

  constructor() {
    ofOneJob(() => (this.byId = this.faults = {}));
  }

  readonly ask = latest(
    async ({ job, ids }: { job: Job; ids: string[] }) => {
      const found: Record<string, NightFacts> = {};
      const faults: Record<string, string> = {};
      for (const id of ids) {
        const answer = await sceneCore().facts(job, id);
        if (answer.ok) found[id] = answer.value;
        else faults[id] = words(answer);
      }
      return { found, faults };
    },
    ({ found, faults }) => {
      this.byId = found;
      this.faults = faults;
    },
    (error) => console.error(error),
  );
}

export const facts = new Facts();
