import { startOf } from "../../job/firm.ts";
import type { Firm } from "../../job/firmFile.ts";
import type { JobInput } from "../../job/schema.ts";
import { STAND_IN } from "../../job/standIn.ts";
import { JOB_FORMAT, JOB_VERSION } from "../../job/version.ts";
import type { GridSystem } from "./commands/grid.ts";
import { newId } from "./newId.ts";

/** A new room, before its survey: a rectangle, the grid, what the firm keeps from job to job, and nothing of another client's. */
export function newJob({
  title,
  widthMm,
  depthMm,
  system,
  firm,
}: {
  title: string;
  widthMm: number;
  depthMm: number;
  system: GridSystem;
  firm: Firm;
}): JobInput {
  const { moduleMm, tileMm, teeFaceMm } = system;
  return {
    ...startOf(firm),
    format: JOB_FORMAT,
    version: JOB_VERSION,
    id: newId(),
    title,
    ceiling: {
      outlineMm: [
        [0, 0],
        [widthMm, 0],
        [widthMm, depthMm],
        [0, depthMm],
      ],
      grid: { moduleMm, tileMm, teeFaceMm },
    },
    strands: firm.strands ?? { stock: STAND_IN.stock },
    sky: {
      chosen: "first",
      options: [{ id: "first", title: STAND_IN.title, place: STAND_IN.place, moment: STAND_IN.moment }],
    },
  };
}
