import type { PointMm } from "../../geometry/types.ts";
import type { LengthUnits } from "../../job/units.ts";

const INCH_MM = 25.4;
const INCH_STEPS = [1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2].map((inches) => inches * INCH_MM);
const METRIC_STEPS = [1, 2, 5, 10, 20, 50];
/** Finest step worth having: one that moves by about this many pixels. */
const STEP_PX = 1.5;

/** A round step in the person's units that the hand can hit at this scale. */
export function snapStepMm(units: LengthUnits, pxPerMm: number): number {
  const steps = units === "ft-in" ? INCH_STEPS : METRIC_STEPS;
  return steps.find((mm) => mm * pxPerMm >= STEP_PX) ?? steps[steps.length - 1] ?? 1;
}

export function snap([x, y]: PointMm, stepMm: number): PointMm {
  return [Math.round(x / stepMm) * stepMm, Math.round(y / stepMm) * stepMm];
}

/** Pulls a point onto the same x or y as another, where it is nearly there: square corners by hand. */
export function square(point: PointMm, others: readonly PointMm[], withinMm: number): PointMm {
  const pull = (axis: 0 | 1): number => {
    const near = others.find((o) => Math.abs(o[axis] - point[axis]) <= withinMm);
    return near ? near[axis] : point[axis];
  };
  return [pull(0), pull(1)];
}

/** How far one press of an arrow key moves things. */
export function keyStepMm(units: LengthUnits, coarse: boolean): number {
  if (units === "ft-in") return (coarse ? 6 : 0.5) * INCH_MM;
  return coarse ? 100 : 10;
}
