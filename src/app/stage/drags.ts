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

const WAYS: Record<string, PointMm> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** The arrow keys as a direction on the screen, y upward; null for other keys. */
export const arrow = ({ key }: KeyboardEvent): PointMm | null => WAYS[key] ?? null;
