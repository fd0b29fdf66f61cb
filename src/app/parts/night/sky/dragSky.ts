import { apply, applyInverse, type Vector } from "../../../../sky/linear.ts";
import { planAxes, scaleUm, stereographicInverse, toDirection } from "../../../../sky/projection.ts";
import type { Projection } from "../../../../sky/types.ts";
import type { PointMm } from "../../../../geometry/types.ts";
import type { View } from "../../../../job/sections/sky.ts";
import { UM_PER_MM, toMm } from "../../../../geometry/um.ts";

const DEGREES = 180 / Math.PI;
/** A move of less than this on the unit sphere is none. */
const NEGLIGIBLE = 1e-9;

/**
 * The view that carries the sky seen at `from` to `to`, both in mm on the plan, with the turn kept.
 *
 * A view turns the sky about a horizontal axis n, so the part of a direction along n stays: n is square to
 * the difference between where the direction is and where it should be, and the angle follows. null when
 * the point is not to be had that way.
 */
export function draggedView(projection: Projection, view: View, from: PointMm, to: PointMm): View | null {
  const seen = toDirection(projection, from[0] * UM_PER_MM, from[1] * UM_PER_MM);
  const wanted = onViewSphere(projection, to);
  const dx = seen[0] - wanted[0];
  const dy = seen[1] - wanted[1];
  const across = Math.sqrt(dx * dx + dy * dy);
  if (across < NEGLIGIBLE) return null;
  const n: Vector = [-dy / across, dx / across, 0];
  const angle = signedAngle(seen, wanted, n);
  // The view centre is what is carried to the zenith: the zenith turned back about n.
  const [sin, cos] = [Math.sin(-angle), Math.cos(-angle)];
  const centre: Vector = [n[1] * sin, -n[0] * sin, cos];
  const altitudeDeg = Math.asin(Math.max(-1, Math.min(1, centre[2]))) * DEGREES;
  if (altitudeDeg < 0) return null;
  const azimuthDeg = Math.atan2(centre[1], centre[0]) * DEGREES;
  return { ...view, azimuthDeg: azimuthDeg < 0 ? azimuthDeg + 360 : azimuthDeg, altitudeDeg };
}

/** The direction in the tilted horizontal frame (bearing and turn undone) that lies at a point of the plan. */
function onViewSphere(projection: Projection, [xMm, yMm]: PointMm): Vector {
  const scale = toMm(scaleUm(projection));
  const [x, y] = projection.anchorMm;
  const plane = stereographicInverse((xMm - x) / scale, (yMm - y) / scale);
  return apply(projection.toView, applyInverse(planAxes(projection), plane));
}

/** Angle of the right-handed turn about n (a unit vector) that carries a to b, both alike along n. */
function signedAngle(a: Vector, b: Vector, n: Vector): number {
  const flat = (v: Vector): Vector => {
    const along = v[0] * n[0] + v[1] * n[1];
    return [v[0] - along * n[0], v[1] - along * n[1], v[2]];
  };
  const [p, q] = [flat(a), flat(b)];
  const cross: Vector = [p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]];
  const sine = cross[0] * n[0] + cross[1] * n[1] + cross[2] * n[2];
  return Math.atan2(sine, p[0] * q[0] + p[1] * q[1] + p[2] * q[2]);
}

/** Degrees clockwise on the plan from one point to another, as seen from the anchor. */
export function sweptDeg(anchorMm: PointMm, from: PointMm, to: PointMm): number {
  const bearing = ([x, y]: PointMm): number => Math.atan2(x - anchorMm[0], y - anchorMm[1]) * DEGREES;
  return bearing(to) - bearing(from);
}
