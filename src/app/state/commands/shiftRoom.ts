import { toMm, UM_PER_MM } from "../../../geometry/um.ts";
import type { PointMm } from "../../../geometry/types.ts";
import type { Job } from "../../../job/schema.ts";
import type { NoGo } from "../../../job/sections/ceiling.ts";

/** Moves everything that has a place on the plan by the same amount: the origin of the plan changes, the room does not. */
export function shiftRoom(job: Job, byXMm: number, byYMm: number): Job {
  if (byXMm === 0 && byYMm === 0) return job;
  const shift = ([x, y]: PointMm): PointMm => [tidy(x + byXMm), tidy(y + byYMm)];
  const { ceiling, pattern, sky, underlay } = job;
  const { originMm } = ceiling.grid;
  return {
    ...job,
    underlay: underlay && { ...underlay, cornerMm: shift(underlay.cornerMm) },
    ceiling: {
      ...ceiling,
      outlineMm: ceiling.outlineMm.map(shift),
      noGo: ceiling.noGo.map((thing) => shiftNoGo(thing, shift)),
      grid: { ...ceiling.grid, originMm: originMm === "balanced" ? originMm : shift(originMm) },
    },
    pattern: {
      ...pattern,
      byHand: pattern.byHand.map((h) => (h.do === "omit" || !h.atMm ? h : { ...h, atMm: shift(h.atMm) })),
    },
    sky: {
      ...sky,
      options: sky.options.map((night) =>
        night.field.anchorMm === undefined
          ? night
          : { ...night, field: { ...night.field, anchorMm: shift(night.field.anchorMm) } },
      ),
    },
  };
}

/** A no-go thing with every point of its shape put through `move`. */
export function shiftNoGo(thing: NoGo, move: (p: PointMm) => PointMm): NoGo {
  return {
    ...thing,
    ...(thing.circle && { circle: { ...thing.circle, centreMm: move(thing.circle.centreMm) } }),
    ...(thing.polygonMm && { polygonMm: thing.polygonMm.map(move) }),
    ...(thing.rectangle && { rectangle: { ...thing.rectangle, cornerMm: move(thing.rectangle.cornerMm) } }),
  };
}

/** Whole micrometres: what the ceiling stage works in, and no noise like 4876.799999999999 in the file. */
export function tidy(mm: number): number {
  return toMm(Math.round(mm * UM_PER_MM));
}
