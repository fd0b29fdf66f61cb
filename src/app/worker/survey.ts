import { workOut } from "../../ceiling/ceiling.ts";
import { ceilingFaults } from "../../ceiling/faults.ts";
import type { Ceiling } from "../../ceiling/types.ts";
import { ceilingWarnings } from "../../ceiling/warnings.ts";
import { wordedIn } from "../../job/faults.ts";
import { cautionsFor } from "../../job/cautions.ts";
import type { Job } from "../../job/schema.ts";
import type { Surveyed } from "./api.ts";

/** The ceiling last drawn, and what it was drawn from: most edits leave it as it is. */
let last: { from: string; ceiling: Ceiling } | null = null;

function drawn(of: Job["ceiling"]): Ceiling {
  const from = JSON.stringify(of);
  if (last?.from !== from) last = { from, ceiling: workOut(of) };
  return last.ceiling;
}

/** The ceiling as surveyed so far, with everything a person should know about it. */
export function survey(job: Job, known = false): Surveyed {
  const faults = wordedIn(job.units, ceilingFaults(job.ceiling, drawn));
  const cautions = cautionsFor(job);
  // A tile that is named but gone spoils nothing else: the ceiling can still be drawn.
  const drawable = faults.every((fault) => fault.path.startsWith("ceiling.tiles"));
  if (!drawable) return { ceiling: null, faults, warnings: [], cautions };
  const ceiling = drawn(job.ceiling);
  return { ceiling: known ? undefined : ceiling, faults, warnings: ceilingWarnings(job, ceiling), cautions };
}
