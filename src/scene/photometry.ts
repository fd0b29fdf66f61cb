import { pow10, smoothstep } from "./exact.ts";
import { FACTS } from "../trade/facts.ts";

/** What every brightness here is relative to: this strand, lossless, seen on its axis from this far. */
export const REFERENCE_DIAMETER_MM = 0.75;
export const REFERENCE_DISTANCE_MM = 2000;

const RAD_PER_ARCMIN = 0.0002908882086657216;

/** How a strand's end throws its light. */
export interface EndCut {
  /** Half-width of the cone's soft edge, in numerical aperture (sine of the angle). */
  softNa: number;
  /** Light seen outside the cone, as a part of the light on the axis. */
  scatter: number;
  /** Largest chance tilt of the cut face; a ray bends by asin(1.49 sin a) - a. */
  tiltDeg: number;
}

/**
 * Softness and scatter: our own judgement, no source. A flush-cut end is rough like ground glass and stands
 * 1-2 mm proud, so that it is also seen from the side and from the rear seats.
 */
export const END_CUTS: Record<"square" | "snipped", EndCut> = {
  square: { softNa: 0.05, scatter: 0.03, tiltDeg: 0 },
  snipped: { softNa: 0.45, scatter: 0.45, tiltDeg: FACTS.snippedTiltDeg.value },
};

/** Light relative to one strand of the reference diameter: the area law, all being fed by one evenly lit port. */
export function areaLight(diameterMm: number, strands = 1): number {
  const d = diameterMm / REFERENCE_DIAMETER_MM;
  return strands * d * d;
}

/** Part of the light left after a strand: 10^(-dB/10); 4 dB are exactly one magnitude. */
export function transmission(lengthM: number, lossDbPerM: number): number {
  return pow10((-lossDbPerM * lengthM) / 10);
}

/**
 * Intensity at an angle from the axis, 1 on the axis. Inside the cone an evenly filled strand is a flat
 * source and follows the cosine; the cone ends softly round sin(angle) = numerical aperture; the rough,
 * proud end scatters a little to all sides.
 */
export function coneLight(cosine: number, numericalAperture: number, end: EndCut): number {
  if (cosine <= 0) return end.scatter;
  const sine = Math.sqrt(Math.max(0, 1 - cosine * cosine));
  const inside = 1 - smoothstep(numericalAperture - end.softNa, numericalAperture + end.softNa, sine);
  return (1 - end.scatter) * cosine * inside + end.scatter;
}

/** The law of distance, relative to the reference distance. */
export function distanceLight(distanceMm: number): number {
  const d = REFERENCE_DISTANCE_MM / distanceMm;
  return d * d;
}

/** Light of a star relative to one of magnitude 0 (Pogson). */
export function starLight(magnitude: number): number {
  return pow10(-0.4 * magnitude);
}

/** Magnitudes by which `light` is fainter than 1. For people; nothing is decided by it. */
export function magnitudesBelow(light: number): number {
  return -2.5 * Math.log10(light);
}

/** Angle under which a small length is seen, in arcminutes. */
export function arcminOf(lengthMm: number, distanceMm: number): number {
  return lengthMm / distanceMm / RAD_PER_ARCMIN;
}

/** Length that the eye can just not resolve at a distance: 0.29 mm per metre. */
export function acuityMm(distanceMm: number): number {
  return FACTS.acuityArcmin.value * RAD_PER_ARCMIN * distanceMm;
}
