import type { PointMm } from "../../geometry/types.ts";
import type { Job } from "../../job/schema.ts";
import type { Edit } from "../state/edit.ts";
import { studio } from "../state/studio.svelte.ts";
import type { PlanDrag } from "./part.ts";

/** A drag that is an edit: shown while the hand moves, one step of the history where it lets go. */
export function edits(make: (job: Job, to: PointMm) => Edit): PlanDrag {
  return {
    move: (to) => studio.preview((job) => make(job, to)),
    end: () => studio.commit(),
    cancel: () => studio.cancelPreview(),
  };
}
