import type { Job } from "../../../job/schema.ts";
import { omit } from "../omit.ts";
import { type Edit, withCeiling } from "../edit.ts";
import { wallName, wallSpan } from "./room.ts";

/** 0 <= result < 360, to the hundredth of a degree. */
export function fullCircle(deg: number): number {
  const turned = Math.round((((deg % 360) + 360) % 360) * 100) / 100;
  return turned === 360 ? 0 : turned;
}

/** The compass reading of the plan's top as the job has it: magnetic when the job says so, else true. */
export function bearingReading(job: Job): { deg: number; magnetic: boolean; declinationDeg: number } {
  const declinationDeg = job.ceiling.magneticDeclinationDeg;
  return declinationDeg === undefined
    ? { deg: fullCircle(job.ceiling.bearingDeg), magnetic: false, declinationDeg: 0 }
    : { deg: fullCircle(job.ceiling.bearingDeg - declinationDeg), magnetic: true, declinationDeg };
}

/** The bearing as read: true, or magnetic where the job holds a declination (true = magnetic + declination, east positive). */
export function setBearing(job: Job, readingDeg: number): Edit {
  const bearingDeg = fullCircle(readingDeg + (job.ceiling.magneticDeclinationDeg ?? 0));
  const bearingFrom = job.ceiling.magneticDeclinationDeg === undefined ? "given" : "needle";
  return { name: "Set the compass", job: withCeiling(job, { bearingDeg, bearingFrom }), merge: "bearing" };
}

/** The bearing by the Sun: `angleDeg` from the plan's top to the shadow, clockwise on the plan. */
export function setBearingByShadow(job: Job, shadowDeg: number, angleDeg: number): Edit {
  const ceiling: Job["ceiling"] = omit(job.ceiling, "magneticDeclinationDeg");
  return {
    name: "Set the compass by a shadow",
    job: {
      ...job,
      ceiling: { ...ceiling, bearingDeg: fullCircle(shadowDeg - angleDeg), bearingFrom: "shadow" },
    },
  };
}

/** Reading a needle or a true bearing: the reading stays, the room turns by the declination. */
export function setNorth(job: Job, declinationDeg: number | null): Edit {
  const reading = bearingReading(job).deg;
  const ceiling: Job["ceiling"] = omit(job.ceiling, "magneticDeclinationDeg");
  if (declinationDeg === null) {
    return {
      name: "Read the compass as true",
      job: { ...job, ceiling: { ...ceiling, bearingDeg: reading, bearingFrom: "given" } },
    };
  }
  const bearingDeg = fullCircle(reading + declinationDeg);
  return {
    name: "Read the compass as magnetic",
    job: withCeiling(job, { bearingDeg, magneticDeclinationDeg: declinationDeg, bearingFrom: "needle" }),
  };
}

/** The compass reading when standing inside, square to a wall and facing it. */
export function wallReading(job: Job, wall: number): number {
  return fullCircle(bearingReading(job).deg + outwardDeg(job, wall));
}

/** Sets the bearing from what the compass shows when facing a wall squarely from inside. */
export function setBearingFacing(job: Job, wall: number, readingDeg: number): Edit {
  const edit = setBearing(job, readingDeg - outwardDeg(job, wall));
  return { name: `Set the compass by ${wallName(job, wall)}`, job: edit.job };
}

/** Direction out of the room through a wall, clockwise from the plan's +Y. */
function outwardDeg(job: Job, wall: number): number {
  const outline = job.ceiling.outlineMm;
  const { along } = wallSpan(outline, wall);
  let twiceArea = 0;
  for (let i = 0; i < outline.length; i++) {
    const { from, to } = wallSpan(outline, i);
    twiceArea += from[0] * to[1] - to[0] * from[1];
  }
  const side = twiceArea >= 0 ? 1 : -1;
  return (Math.atan2(along[1] * side, -along[0] * side) * 180) / Math.PI;
}
