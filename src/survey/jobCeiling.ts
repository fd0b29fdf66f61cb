import type { JobInput } from "../job/schema.ts";
import type { DrawnCeiling } from "./survey.ts";

/** What a room gets where its drawing shows no tees: said to be a stand-in wherever it is used. */
const STAND_IN_MODULE_MM: [number, number] = [600, 600];

/** The ceiling section of a job as a drawing has it; what no drawing tells (heights, who agreed, the tile's real size) stays open. */
export function jobCeiling({ outlineMm, grid, noGo, bearingDeg }: DrawnCeiling): JobInput["ceiling"] {
  return {
    outlineMm,
    ...(bearingDeg === null ? {} : { bearingDeg, bearingFrom: "drawing" as const }),
    grid: {
      moduleMm: grid?.moduleMm ?? STAND_IN_MODULE_MM,
      originMm: grid?.originMm ?? "balanced",
      ...(grid?.teeFaceMm ? { teeFaceMm: grid.teeFaceMm } : {}),
    },
    noGo,
  };
}
