import { startOf } from "../../job/firm.ts";
import type { Firm } from "../../job/firmFile.ts";
import type { JobInput } from "../../job/schema.ts";
import { STAND_IN } from "../../job/standIn.ts";
import { JOB_FORMAT, JOB_VERSION } from "../../job/version.ts";
import { withWholeFigures } from "../../job/wholeFigures.ts";
import { newId } from "./newId.ts";

/** A new room: its ceiling as far as it is known, what the firm keeps from job to job, and nothing of another client's. */
export function newJob(title: string, ceiling: JobInput["ceiling"], firm: Firm): JobInput {
  return withWholeFigures({
    ...startOf(firm),
    format: JOB_FORMAT,
    version: JOB_VERSION,
    id: newId(),
    title,
    ceiling,
    strands: firm.strands ?? { stock: STAND_IN.stock },
    sky: {
      chosen: "first",
      options: [{ id: "first", title: STAND_IN.title, place: STAND_IN.place, moment: STAND_IN.moment }],
    },
  });
}
