import { jupiter84, mars84, mercury84, saturn84, venus84 } from "astronomia/illum";
import type { Vector } from "./linear.ts";
import { directionOf, dot, lengthOf, unit } from "./linear.ts";

/** Rounding of magnitudes, so that engines agree. */
export const PER_MAGNITUDE = 1000;
export const SUN_MAGNITUDE = -26.74;
/** Mean distance of the Moon, km: the one its full magnitude is stated for. */
const MOON_MEAN_KM = 384_400;

/** North pole of Saturn and its rings, ICRS: report of the IAU working group on cartographic coordinates, at J2000. */
const ringPole = directionOf(40.589, 83.537);
const ringNode = unit([-ringPole[1], ringPole[0], 0]);
const ringAcross: Vector = [
  ringPole[1] * ringNode[2] - ringPole[2] * ringNode[1],
  ringPole[2] * ringNode[0] - ringPole[0] * ringNode[2],
  ringPole[0] * ringNode[1] - ringPole[1] * ringNode[0],
];

/** Angle in radians at a body between what shines on it and who looks; both vectors lead to the body. */
export function phaseAngle(fromSun: Vector, fromEye: Vector): number {
  return Math.acos(Math.min(1, Math.max(-1, dot(unit(fromSun), unit(fromEye)))));
}

function ringLongitude(towards: Vector): number {
  return Math.atan2(dot(towards, ringAcross), dot(towards, ringNode));
}

/**
 * How Saturn's rings lie, in radians: the Earth's latitude over their plane, and the angle along the plane
 * between Sun and Earth (Meeus's B and delta U).
 */
export function ringAspect(fromSun: Vector, fromEarth: Vector): { tilt: number; turn: number } {
  const tilt = Math.asin(-dot(unit(fromEarth), ringPole));
  const turn = Math.abs(ringLongitude(fromSun) - ringLongitude(fromEarth));
  return { tilt, turn: Math.min(turn, 2 * Math.PI - turn) };
}

function saturnMagnitude(fromSun: Vector, fromEarth: Vector): number {
  const { tilt, turn } = ringAspect(fromSun, fromEarth);
  return saturn84(lengthOf(fromSun), lengthOf(fromEarth), tilt, turn);
}

/**
 * Visual magnitude of a planet from its places (au, ICRS axes): the Astronomical Almanac's formulas of 1984,
 * Meeus, Astronomical Algorithms, ch. 41; Saturn with its rings. Good to some 0.2 magnitudes.
 */
export function planetMagnitude(
  name: "mercury" | "venus" | "mars" | "jupiter" | "saturn",
  fromSun: Vector,
  fromEarth: Vector,
): number {
  const r = lengthOf(fromSun);
  const d = lengthOf(fromEarth);
  const i = phaseAngle(fromSun, fromEarth);
  switch (name) {
    case "mercury":
      return mercury84(r, d, i);
    case "venus":
      return venus84(r, d, i);
    case "mars":
      return mars84(r, d, i);
    case "jupiter":
      return jupiter84(r, d, i);
    case "saturn":
      return saturnMagnitude(fromSun, fromEarth);
  }
}

/**
 * Visual magnitude of the Moon at a phase angle in radians and a distance in km: Allen, Astrophysical
 * Quantities, as used by Krisciunas and Schaefer, PASP 103 (1991) 1033, eq. 9. Rough at the thin crescent.
 */
export function moonMagnitude(phaseAngleRad: number, distanceKm: number): number {
  const deg = (phaseAngleRad * 180) / Math.PI;
  return -12.73 + 0.026 * deg + 4e-9 * deg ** 4 + 5 * Math.log10(distanceKm / MOON_MEAN_KM);
}
