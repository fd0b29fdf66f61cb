import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";
import { readWhole } from "./numbers.ts";

/** How many strands may share a hole; 1: none do. */
export function setMostPerHole(job: Job, most: number): Edit {
  const mostPerHole = readWhole(
    most,
    LIMITS.strandsPerHole.min,
    LIMITS.strandsPerHole.max,
    "strands in one hole",
  );
  return {
    name: mostPerHole === 1 ? "One strand in every hole" : `Up to ${mostPerHole} strands in a hole`,
    job: withStrands(job, { mostPerHole }),
    merge: "strands in a hole",
  };
}

export function setLargestHole(job: Job, mm: number): Edit {
  within(mm, LIMITS.holeMm, "a hole", "mm");
  return {
    name: "Set the largest hole",
    job: withStrands(job, { largestHoleMm: mm }),
    merge: "largest hole",
  };
}

/** How strongly magnitudes are compressed; null: as stock and sky suggest. */
export function setLightExponent(job: Job, exponent: number | null): Edit {
  if (exponent !== null) within(exponent, LIMITS.lightExponent, "the exponent", "");
  return {
    name: "Set the compression of magnitudes",
    job: withStrands(job, { lightExponent: exponent }),
    merge: "exponent",
  };
}

const withStrands = (job: Job, change: Partial<Job["strands"]>): Job => ({
  ...job,
  strands: { ...job.strands, ...change },
});

function within(value: number, { min, max }: { min: number; max: number }, what: string, unit: string): void {
  if (!(value >= min && value <= max))
    throw new Refusal(`Expected ${what} from ${min} to ${max} ${unit}`.trim() + ".");
}
