import type { PointMm } from "../../../../geometry/types.ts";
import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Underlay } from "../../../../job/sections/underlay.ts";
import { bounds, within } from "../../../state/commands/numbers.ts";
import { tidy } from "../../../state/commands/shiftRoom.ts";
import { clockwise, onPlan } from "../../../stage/underlay.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";

/** A plan picture as it comes from a file: not yet anywhere. */
export type PlanPicture = Pick<Underlay, "name" | "image" | "sizePx">;

/** Lays a picture over the whole room, in the middle; one that lay there already hands its place on, where it has the same shape. */
export function layUnderlay(job: Job, picture: PlanPicture): Edit {
  const name = `Lay ${picture.name || "a plan"} beneath`;
  const old = job.underlay;
  const sameShape = old?.sizePx.every((px, i) => px === picture.sizePx[i]);
  if (old && sameShape) return { name, job: { ...job, underlay: { ...old, ...picture, shown: true } } };
  const span = ([0, 1] as const).map((axis) => {
    const values = job.ceiling.outlineMm.map((p) => p[axis]);
    return { low: Math.min(...values), high: Math.max(...values) };
  });
  const mmPerPx = Math.max(...span.map(({ low, high }, axis) => (high - low) / picture.sizePx[axis]!));
  const middle = span.map(({ low, high }) => (low + high) / 2);
  const cornerMm: PointMm = [
    middle[0]! - (picture.sizePx[0] * mmPerPx) / 2,
    middle[1]! + (picture.sizePx[1] * mmPerPx) / 2,
  ];
  const laid = { ...picture, turnDeg: 0, opacity: 0.6, shown: true };
  return { name, job: withPlace(job, laid, { cornerMm, mmPerPx }) };
}

/**
 * Makes two points of the picture, as they lie on the plan now, `distanceMm` apart; the first one stays. `straight` turns
 * the picture so that the line from one to the other runs along the plan or up it, whichever is nearer.
 */
export function scaleUnderlay(
  job: Job,
  [from, to]: readonly [PointMm, PointMm],
  { distanceMm, straight }: { distanceMm: number; straight: boolean },
): Edit {
  const underlay = laid(job);
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const now = Math.hypot(dx, dy);
  if (now < 1) throw new Refusal("The two points lie on one another. Tap two that are far apart.");
  const factor = distanceMm / now;
  const leanDeg = (Math.atan2(dy, dx) * 180) / Math.PI;
  const byDeg = straight ? leanDeg - Math.round(leanDeg / 90) * 90 : 0;
  const { cornerMm } = underlay;
  const [x, y] = clockwise([(cornerMm[0] - from[0]) * factor, (cornerMm[1] - from[1]) * factor], byDeg);
  return {
    name: "Scale the plan beneath",
    job: withPlace(job, underlay, {
      cornerMm: [from[0] + x, from[1] + y],
      mmPerPx: underlay.mmPerPx * factor,
      turnDeg: underlay.turnDeg + byDeg,
    }),
  };
}

export function moveUnderlay(job: Job, [dx, dy]: PointMm): Edit {
  const underlay = laid(job);
  const [x, y] = underlay.cornerMm;
  return {
    name: "Move the plan beneath",
    job: withPlace(job, underlay, { cornerMm: [x + dx, y + dy] }),
    merge: "underlay",
  };
}

/** Turns or resizes the picture about its own middle. */
export function turnUnderlay(job: Job, change: Partial<Pick<Underlay, "turnDeg" | "mmPerPx">>): Edit {
  const underlay = laid(job);
  const half: PointMm = [underlay.sizePx[0] / 2, underlay.sizePx[1] / 2];
  const before = onPlan(underlay, half);
  const after = onPlan({ ...underlay, ...change }, half);
  const [x, y] = underlay.cornerMm;
  const cornerMm: PointMm = [x + before[0] - after[0], y + before[1] - after[1]];
  return {
    name: change.turnDeg === undefined ? "Resize the plan beneath" : "Turn the plan beneath",
    job: withPlace(job, underlay, { ...change, cornerMm }),
    merge: `underlay ${Object.keys(change).join()}`,
  };
}

const OPACITY = bounds("strength of the plan beneath", LIMITS.opacity, 2);

export function showUnderlay(job: Job, change: Partial<Pick<Underlay, "opacity" | "shown">>): Edit {
  const underlay = laid(job);
  const opacity = within(OPACITY, change.opacity ?? underlay.opacity);
  const name =
    change.shown === undefined
      ? "Fade the plan beneath"
      : `${change.shown ? "Show" : "Hide"} the plan beneath`;
  return { name, job: { ...job, underlay: { ...underlay, ...change, opacity } }, merge: name };
}

export const removeUnderlay = (job: Job): Edit => ({
  name: "Remove the plan beneath",
  job: { ...job, underlay: null },
});

function laid(job: Job): Underlay {
  if (!job.underlay) throw new Refusal("No plan lies beneath any more.");
  return job.underlay;
}

const SCALE = bounds("size of a dot of the plan beneath, in mm,", LIMITS.mmPerPx, 6);
const PLACE = bounds("distance of the plan beneath, in mm,", LIMITS.pictureAtMm);

/** In the bounds of the file, and in its whole micrometres. */
function withPlace(
  job: Job,
  underlay: Omit<Underlay, "cornerMm" | "mmPerPx">,
  place: Pick<Underlay, "cornerMm"> & Partial<Underlay>,
): Job {
  const next = { ...(underlay as Underlay), ...place };
  const turnDeg = Number(((next.turnDeg % 360) + 0).toFixed(4));
  const cornerMm: PointMm = [within(PLACE, tidy(next.cornerMm[0])), within(PLACE, tidy(next.cornerMm[1]))];
  return { ...job, underlay: { ...next, cornerMm, mmPerPx: within(SCALE, next.mmPerPx), turnDeg } };
}
