import { JobFaults } from "../job/faults.ts";
import type { Fault } from "../job/faults.ts";
import type { Night, Place } from "../job/sections/sky.ts";
import { bodiesAt } from "./bodies.ts";
import type { EarthOrientation } from "./earth.ts";
import { earthOrientation, earthVelocity, rotationSpeed } from "./earth.ts";
import type { Matrix, Vector } from "./linear.ts";
import { apply, applyInverse, dot, product, rotationZ, unit } from "./linear.ts";
import { refract, unrefract } from "./refraction.ts";
import { JD_J2000, resolveMoment } from "./time.ts";
import { sinCosDeg } from "./exactTrig.ts";
import type { Instant, SkyFrame } from "./types.ts";

/** True equator and equinox of date to the horizontal frame (x north, y east, z zenith). */
export function equatorToHorizon(siderealDeg: number, latDeg: number, lonDeg: number): Matrix {
  const [s, c] = sinCosDeg(latDeg);
  const toMeridian = rotationZ(siderealDeg + lonDeg);
  return product(Float64Array.of(-s, 0, c, 0, 1, 0, c, 0, s), toMeridian);
}

function checkPlace(place: Place, path: string): void {
  const faults: Fault[] = [];
  const check = (key: "latDeg" | "lonDeg" | "elevationM", low: number, high: number, what: string) => {
    const value = place[key];
    if (Number.isFinite(value) && value >= low && value <= high) return;
    faults.push({
      path: `${path}.${key}`,
      expected: `${what} from ${low} to ${high}`,
      got: String(value),
      next: "Give the place as degrees north and east and metres above the sea.",
    });
  };
  check("latDeg", -90, 90, "degrees of latitude");
  check("lonDeg", -180, 180, "degrees of longitude");
  check("elevationM", -500, 9000, "metres");
  if (faults.length > 0) throw new JobFaults(faults);
}

/** The frame of an instant that is already resolved; see `skyFrame`. */
export function frameAt(
  instant: Instant,
  place: Place,
  options: { refraction: boolean; extinction: boolean; bodies: boolean },
): SkyFrame {
  const earth: EarthOrientation = earthOrientation(instant.jdUt, instant.jdTt);
  const toHorizon = equatorToHorizon(earth.siderealDeg, place.latDeg, place.lonDeg);
  const matrix = product(toHorizon, earth.toDate);
  const annual = earthVelocity(instant.jdTt);
  // The place is carried eastward; row 1 of the matrix is east.
  const diurnal = rotationSpeed(place.latDeg, place.elevationM);
  const velocity: Vector = [
    annual[0] + diurnal * matrix[3]!,
    annual[1] + diurnal * matrix[4]!,
    annual[2] + diurnal * matrix[5]!,
  ];
  const { sun, others } = bodiesAt({
    instant,
    place,
    earth,
    toHorizon,
    matrix,
    velocity,
    sunAlone: !options.bodies,
  });
  return {
    instant,
    place,
    matrix,
    velocity,
    years: (instant.jdTt - JD_J2000) / 365.25,
    refraction: options.refraction,
    extinction: options.extinction,
    sun,
    bodies: others,
  };
}

/**
 * Everything that one pass over the stars needs, for a night of the job. `path` is the night's place in the
 * document, for faults. Polar motion and UT1-UTC are taken as 0; light deflection by the Sun is left out
 * (0.09" at 5 degrees from it).
 * @throws JobFaults for a place off the globe and whatever `resolveMoment` refuses.
 */
export function skyFrame(night: Night, path = "sky"): SkyFrame {
  checkPlace(night.place, `${path}.place`);
  return frameAt(resolveMoment(night.moment, `${path}.moment`), night.place, night);
}

/** Where an ICRS J2000 unit vector is seen: horizontal unit vector, aberrated, refracted if the frame says so. */
export function seenAt(frame: SkyFrame, icrs: Vector): Vector {
  const v = frame.velocity;
  const aberrated: Vector = [icrs[0] + v[0], icrs[1] + v[1], icrs[2] + v[2]];
  const horizontal = unit(apply(frame.matrix, aberrated));
  return frame.refraction ? refract(horizontal) : horizontal;
}

/** The inverse of `seenAt`: the ICRS J2000 unit vector seen in a horizontal direction. */
export function icrsOf(frame: SkyFrame, direction: Vector): Vector {
  const v = frame.velocity;
  const horizontal = frame.refraction ? unrefract(direction) : direction;
  const aberrated = applyInverse(frame.matrix, horizontal);
  // |length * aberrated - velocity| = 1 gives the length that the aberrated vector had.
  const along = dot(aberrated, v);
  const length = along + Math.sqrt(along * along + 1 - dot(v, v));
  return unit([length * aberrated[0] - v[0], length * aberrated[1] - v[1], length * aberrated[2] - v[2]]);
}
