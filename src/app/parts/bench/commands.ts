import type { Job } from "../../../job/schema.ts";
import type { Edit } from "../../state/edit.ts";

/** Rates as measured at the bench take the place of the estimate. */
export function takeRates(job: Job, rates: Partial<Job["takeoff"]["rates"]>): Edit {
  const takeoff = {
    ...job.takeoff,
    rates: { ...job.takeoff.rates, ...rates, source: "measured at the bench" },
  };
  return { name: "Use measured rates", job: { ...job, takeoff } };
}
