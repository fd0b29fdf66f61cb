import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Field, View } from "../../../../job/sections/sky.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";
import { omit } from "../../../state/omit.ts";
import { fullCircle } from "../../../state/commands/bearing.ts";
import { chosenNight, withChosen } from "./nights.ts";

/** The rim of the picture stays within these, in mm from the anchor. */
export const LEAST_RADIUS_MM = 100;
export const MOST_RADIUS_MM = LIMITS.sizeMm.max;
/** Views and turns are kept to this part of a degree: 0.1 mm on a ceiling 6 m wide. */
const PER_DEGREE = 1000;

const tidy = (value: number): number => Math.round(value * PER_DEGREE) / PER_DEGREE;

/** Another direction to look in, or another turn of the picture. Azimuth from true north, clockwise. */
export function setView(job: Job, change: Partial<View>): Edit {
  const night = chosenNight(job);
  const wanted = { ...night.view, ...change };
  if (!Object.values(wanted).every((v) => typeof v !== "number" || Number.isFinite(v))) {
    throw new Refusal("A direction is told in degrees.");
  }
  const turned = tidy(fullCircle(wanted.turnDeg));
  const view = {
    ...wanted,
    azimuthDeg: tidy(fullCircle(wanted.azimuthDeg)),
    altitudeDeg: tidy(Math.min(90, Math.max(0, wanted.altitudeDeg))),
    turnDeg: turned,
  };
  const only = Object.keys(change).length === 1 && "turnDeg" in change;
  return {
    name: only ? "Turn the sky" : "Look another way",
    job: withChosen(job, { ...night, view }),
    merge: only ? "turn" : "view",
  };
}

/** How many degrees from the view's middle the picture's rim stands. */
export function setHalfAngle(job: Job, halfAngleDeg: number): Edit {
  const { min, max } = LIMITS.halfAngleDeg;
  if (!(halfAngleDeg >= min && halfAngleDeg <= max))
    throw new Refusal(`The edge is from ${min}° to ${max}° away from the middle.`);
  return withField(job, "Change how much sky there is", { halfAngleDeg: tidy(halfAngleDeg) }, "half angle");
}

/** How far from its middle the picture's rim lies on the plan: dragging the rim. */
export function setRimRadius(job: Job, radiusMm: number): Edit {
  const kept = Math.min(MOST_RADIUS_MM, Math.max(LEAST_RADIUS_MM, Math.round(radiusMm * 10) / 10));
  return withField(job, "Draw the edge", { radiusMm: kept }, "rim");
}

/** The rim through the room's corners, the middle in the middle: as a job starts. */
export function fitField(job: Job): Edit {
  const night = chosenNight(job);
  const field = omit(night.field, "radiusMm", "anchorMm");
  return { name: "Fit the sky to the room", job: withChosen(job, { ...night, field }) };
}

/** The sky's own switches: refraction, dimming near the horizon, Moon and planets. */
export function setSkySwitch(job: Job, key: "refraction" | "extinction" | "bodies", on: boolean): Edit {
  const words = {
    refraction: "Lift by refraction",
    extinction: "Dim near the horizon",
    bodies: "Moon and planets",
  };
  const night = chosenNight(job);
  return { name: `${words[key]}: ${on ? "on" : "off"}`, job: withChosen(job, { ...night, [key]: on }) };
}

function withField(job: Job, name: string, change: Partial<Field>, merge: string): Edit {
  const night = chosenNight(job);
  return { name, job: withChosen(job, { ...night, field: { ...night.field, ...change } }), merge };
}
