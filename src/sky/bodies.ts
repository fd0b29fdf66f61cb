import { position as moonPosition } from "astronomia/moonposition";
import type { Place } from "../job/sections/sky.ts";
import type { EarthOrientation } from "./earth.ts";
import { observerKm } from "./earth.ts";
import type { Matrix, Vector } from "./linear.ts";
import { apply, applyInverse, lengthOf, rotationX, unit } from "./linear.ts";
import { PER_MAGNITUDE, moonMagnitude, phaseAngle, planetMagnitude, SUN_MAGNITUDE } from "./magnitudes.ts";
import { heliocentric, minus, planetPlace } from "./solarSystem.ts";
import { sinCosDeg } from "./exactTrig.ts";
import { altitudeDegOf, azimuthDegOf, rounded } from "./trig.ts";
import type { Body, Instant } from "./types.ts";

export const KM_PER_AU = 149_597_870.7;
/** Rounding of bodies' altitude and azimuth, so that engines agree: 0.4 milliarcseconds. */
const PER_DEGREE = 1e7;
const PLANETS = ["mercury", "venus", "mars", "jupiter", "saturn"] as const;

/** The eye in the horizontal frame, km from the Earth's centre. */
function eyeKm(place: Place): Vector {
  const { axisKm, planeKm } = observerKm(place.latDeg, place.elevationM);
  const [s, c] = sinCosDeg(place.latDeg);
  return [c * planeKm - s * axisKm, 0, c * axisKm + s * planeKm];
}

function describe(
  name: Body["name"],
  direction: Vector,
  toHorizon: Matrix,
  rest: { magnitude: number; phase: number; distanceAu: number },
): Body {
  const [x, y, z] = direction;
  const [a, b, c] = applyInverse(toHorizon, direction);
  const step = (deg: number) => rounded(deg, PER_DEGREE);
  return {
    name,
    altitudeDeg: step(altitudeDegOf(x, y, z)),
    azimuthDeg: step(azimuthDegOf(x, y)),
    raDeg: step(azimuthDegOf(a, b)),
    decDeg: step(altitudeDegOf(a, b, c)),
    magnitude: rounded(rest.magnitude, PER_MAGNITUDE),
    lit: rounded((1 + Math.cos(rest.phase)) / 2, 1e6),
    distanceAu: rest.distanceAu,
  };
}

/** The Moon from the Earth's centre, km, true equator and equinox of date; Meeus ch. 47 (10" and 4"). */
export function moonKm(jdTt: number, earth: EarthOrientation): Vector {
  const { lon, lat, range } = moonPosition(jdTt);
  const apparentLon = lon + (earth.nutationLongitudeDeg * Math.PI) / 180;
  const flat = range * Math.cos(lat);
  const ecliptic: Vector = [
    flat * Math.cos(apparentLon),
    flat * Math.sin(apparentLon),
    range * Math.sin(lat),
  ];
  return apply(rotationX(-earth.obliquityDeg), ecliptic);
}

/**
 * The Sun, and where wanted the Moon and the naked-eye planets, as seen from a place: light time, aberration
 * and parallax included, refraction not. `toHorizon` leads from the true equator of date, `matrix` from
 * ICRS, `velocity` is the place's in units of c.
 */
export function bodiesAt({
  instant,
  place,
  earth,
  toHorizon,
  matrix,
  velocity,
  sunAlone,
}: {
  instant: Instant;
  place: Place;
  earth: EarthOrientation;
  toHorizon: Matrix;
  matrix: Matrix;
  velocity: Vector;
  sunAlone: boolean;
}): { sun: Body; others: Body[] } {
  const eye = eyeKm(place);
  const eyeAu: Vector = [eye[0] / KM_PER_AU, eye[1] / KM_PER_AU, eye[2] / KM_PER_AU];
  const drift = apply(matrix, velocity);
  const fromEye = (geocentricAu: Vector) => minus(apply(matrix, geocentricAu), eyeAu);
  const seen = (fromEyeAu: Vector): Vector => {
    const [x, y, z] = unit(fromEyeAu);
    return unit([x + drift[0], y + drift[1], z + drift[2]]);
  };

  const earthPlace = heliocentric("earth", instant.jdTt);
  const sunAu = fromEye([-earthPlace[0], -earthPlace[1], -earthPlace[2]]);
  const sun = describe("sun", seen(sunAu), toHorizon, {
    magnitude: SUN_MAGNITUDE,
    phase: 0,
    distanceAu: lengthOf(sunAu),
  });
  if (sunAlone) return { sun, others: [] };

  const moonFromEye = minus(apply(toHorizon, moonKm(instant.jdTt, earth)), eye);
  const moonAu: Vector = [moonFromEye[0] / KM_PER_AU, moonFromEye[1] / KM_PER_AU, moonFromEye[2] / KM_PER_AU];
  const moonPhase = phaseAngle(minus(moonAu, sunAu), moonAu);
  const moon = describe("moon", unit(moonFromEye), toHorizon, {
    magnitude: moonMagnitude(moonPhase, lengthOf(moonFromEye)),
    phase: moonPhase,
    distanceAu: lengthOf(moonAu),
  });

  const planets = PLANETS.map((name) => {
    const { fromEarth, fromSun } = planetPlace(name, instant.jdTt, earthPlace);
    const au = fromEye(fromEarth);
    return describe(name, seen(au), toHorizon, {
      magnitude: planetMagnitude(name, fromSun, fromEarth),
      phase: phaseAngle(fromSun, fromEarth),
      distanceAu: lengthOf(au),
    });
  });
  return { sun, others: [moon, ...planets] };
}
