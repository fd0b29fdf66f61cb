import { readFileSync } from "node:fs";
import { readJob } from "../../src/job/read.ts";
import type { Job } from "../../src/job/schema.ts";

/** The demo room: an L of 17' 6" by 13' 4" with eight things on its ceiling. Whoever changes it in place throws. */
export function demoJob(): Job {
  return frozen(readJob(readFileSync("demo/harbour-dining-room.velarium.json")).job);
}

function frozen<T extends object>(value: T): T {
  for (const inner of Object.values(value) as unknown[])
    if (typeof inner === "object" && inner !== null) frozen(inner);
  return Object.freeze(value);
}

/** The demo in a rectangular room of 16' by 12' without anything on its ceiling. */
export function bareRoom(): Job {
  const job = demoJob();
  const outlineMm: [number, number][] = [
    [0, 0],
    [4876.8, 0],
    [4876.8, 3657.6],
    [0, 3657.6],
  ];
  return { ...job, ceiling: { ...job.ceiling, outlineMm, walls: [], noGo: [], tiles: {} } };
}
