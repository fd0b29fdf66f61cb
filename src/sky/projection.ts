import type { BoxUm } from "../geometry/types.ts";
import type { Field, View } from "../job/sections/sky.ts";
import type { Vector } from "./linear.ts";
import { apply, applyInverse } from "./linear.ts";
import { sinCosDeg } from "./exactTrig.ts";
import { tanHalfDeg } from "./trig.ts";
import type { Projection } from "./types.ts";
import { UM_PER_MM, toMm } from "../geometry/um.ts";

/** 1 + cos c below which a direction counts as the antipode of the view centre (c beyond 179.7 degrees). */
export const NEAR_ANTIPODE = 1e-5;

/**
 * Stereographic plane from the sphere: a unit vector with the view centre at +z to the plane on which
 * angle c lies at tan(c/2) from the centre. Null near the antipode.
 * Source: Snyder, USGS Professional Paper 1395, eq. 21-1 with R k0 = 1/2.
 */
export function stereographic(x: number, y: number, z: number): [number, number] | null {
  const d = 1 + z;
  return d < NEAR_ANTIPODE ? null : [x / d, y / d];
}

/** The inverse: any point of the plane is a direction. */
export function stereographicInverse(u: number, v: number): Vector {
  const square = u * u + v * v;
  const d = 1 + square;
  return [(2 * u) / d, (2 * v) / d, (1 - square) / d];
}

/** The smallest rotation of the horizontal frame that carries a direction to the zenith. */
function smallestRotation(azimuthDeg: number, altitudeDeg: number): Float64Array {
  const [sinAz, cosAz] = sinCosDeg(azimuthDeg);
  const [sinAlt, cosAlt] = sinCosDeg(altitudeDeg);
  // Along the azimuth the sky tilts by 90 - altitude; across it nothing moves.
  return Float64Array.of(
    cosAz * cosAz * sinAlt + sinAz * sinAz,
    cosAz * sinAz * (sinAlt - 1),
    -cosAz * cosAlt,
    cosAz * sinAz * (sinAlt - 1),
    sinAz * sinAz * sinAlt + cosAz * cosAz,
    -sinAz * cosAlt,
    cosAz * cosAlt,
    sinAz * cosAlt,
    sinAlt,
  );
}

/**
 * How a sky lies on the ceiling, by the rule of the design: smallest rotation, then the zenith formula,
 * then `turnDeg` clockwise on the plan. `bearingDeg` is the true bearing of the plan's +Y; `box` bounds
 * the outline, in micrometres on the plan.
 */
export function makeProjection(view: View, field: Field, bearingDeg: number, box: BoxUm): Projection {
  const width = toMm(box.maxX - box.minX);
  const height = toMm(box.maxY - box.minY);
  return {
    toView: smallestRotation(view.azimuthDeg, view.altitudeDeg),
    bearingDeg,
    turnDeg: view.turnDeg,
    anchorMm: field.anchorMm ?? [(box.minX + box.maxX) / 2000, (box.minY + box.maxY) / 2000],
    radiusMm: field.radiusMm ?? Math.sqrt(width * width + height * height) / 2,
    halfAngleDeg: field.halfAngleDeg,
  };
}

/** Micrometres on the plan per unit of the stereographic plane. */
export function scaleUm(projection: Projection): number {
  return (projection.radiusMm * UM_PER_MM) / tanHalfDeg(projection.halfAngleDeg);
}

/**
 * Row-major 3x3 from the horizontal frame to plan axes: x along +X, y along +Y, z to the view centre.
 * East is to the right when +Y is north: the plan is seen from above.
 */
export function planAxes(projection: Projection): Float64Array {
  const m = projection.toView;
  const [s, c] = sinCosDeg(projection.bearingDeg - projection.turnDeg);
  return Float64Array.of(
    c * m[3]! - s * m[0]!,
    c * m[4]! - s * m[1]!,
    c * m[5]! - s * m[2]!,
    c * m[0]! + s * m[3]!,
    c * m[1]! + s * m[4]!,
    c * m[2]! + s * m[5]!,
    m[6]!,
    m[7]!,
    m[8]!,
  );
}

/**
 * From a horizontal unit vector (x north, y east, z zenith) to the plan, in micrometres, not rounded;
 * null near the antipode of the view centre.
 */
export function toPlan(
  projection: Projection,
  x: number,
  y: number,
  z: number,
): { xUm: number; yUm: number } | null {
  const [a, b, c] = apply(planAxes(projection), [x, y, z]);
  const flat = stereographic(a, b, c);
  if (!flat) return null;
  const scale = scaleUm(projection);
  return {
    xUm: projection.anchorMm[0] * UM_PER_MM + flat[0] * scale,
    yUm: projection.anchorMm[1] * UM_PER_MM + flat[1] * scale,
  };
}

/** From the plan, in micrometres, to the horizontal unit vector (x north, y east, z zenith). */
export function toDirection(projection: Projection, xUm: number, yUm: number): Vector {
  const scale = scaleUm(projection);
  const u = (xUm - projection.anchorMm[0] * UM_PER_MM) / scale;
  const v = (yUm - projection.anchorMm[1] * UM_PER_MM) / scale;
  return applyInverse(planAxes(projection), stereographicInverse(u, v));
}

/** Degrees of sky per millimetre of plan at a point (alike in every direction: the projection is conformal). */
export function degPerMmAt(projection: Projection, xUm: number, yUm: number): number {
  const scale = scaleUm(projection);
  const u = (xUm - projection.anchorMm[0] * UM_PER_MM) / scale;
  const v = (yUm - projection.anchorMm[1] * UM_PER_MM) / scale;
  return ((2 / (1 + u * u + v * v)) * (180 / Math.PI) * 1000) / scale;
}
