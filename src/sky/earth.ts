import { aberrationRonVondrak } from "astronomia/apparent";
import { nutation } from "astronomia/nutation";
import type { Matrix, Vector } from "./linear.ts";
import { product, rotationX, rotationZ } from "./linear.ts";
import { JD_J2000 } from "./time.ts";
import { sinCosDeg } from "./exactTrig.ts";
import { rounded } from "./trig.ts";

/** Sums of Math.sin terms are rounded to millionths of an arcsecond and 1e-11 c: engines agree from here on. */
const PER_ARCSEC = 1e6;
const PER_LIGHT_SPEED = 1e11;
const RADIANS_PER_ARCSEC = Math.PI / 648_000;

/** How the Earth stands in space at one moment. Angles in degrees. */
export interface EarthOrientation {
  /** ICRS to true equator and equinox of date: frame bias, precession, nutation. */
  toDate: Matrix;
  /** Greenwich apparent sidereal time as an angle, 0 to 360. */
  siderealDeg: number;
  meanSiderealDeg: number;
  /** True obliquity of the ecliptic. */
  obliquityDeg: number;
  nutationLongitudeDeg: number;
}

function polynomialDeg(t: number, arcsec: number[]): number {
  return arcsec.reduceRight((sum, coefficient) => sum * t + coefficient, 0) / 3600;
}

// IAU 2006 precession with frame bias as Fukushima-Williams angles: Hilton et al. 2006, Celest. Mech. Dyn.
// Astron. 94, 351; IERS Conventions (2010) 5.40; arcseconds and Julian centuries of TT.
const GAMMA = [-0.052928, 10.556378, 0.4932044, -0.00031238, -0.000002788, 0.000000026];
const PHI = [84381.412819, -46.811016, 0.0511268, 0.00053289, -0.00000044, -0.0000000176];
const PSI = [-0.041775, 5038.481484, 1.5584175, -0.00018522, -0.000026452, -0.0000000148];
const EPSILON = [84381.406, -46.836769, -0.0001831, 0.0020034, -0.000000576, -0.0000000434];
// Mean sidereal time less Earth rotation angle: IERS Conventions (2010) 5.32.
const SIDEREAL = [0.014506, 4612.156534, 1.3915817, -0.00000044, -0.000029956, -0.0000000368];

export function julianCenturies(jdTt: number): number {
  return (jdTt - JD_J2000) / 36525;
}

/** ICRS to mean equator and equinox of date: frame bias and precession alone. */
export function biasPrecession(jdTt: number): Matrix {
  return fukushimaWilliams(julianCenturies(jdTt), 0, 0);
}

function fukushimaWilliams(t: number, dPsiDeg: number, dEpsDeg: number): Matrix {
  return product(
    rotationX(-(polynomialDeg(t, EPSILON) + dEpsDeg)),
    rotationZ(-(polynomialDeg(t, PSI) + dPsiDeg)),
    rotationX(polynomialDeg(t, PHI)),
    rotationZ(polynomialDeg(t, GAMMA)),
  );
}

/** Earth rotation angle in degrees: IERS Conventions (2010) 5.15, UT1 taken as `jdUt`. */
function rotationAngleDeg(jdUt: number): number {
  const days = jdUt - JD_J2000;
  return 360 * ((0.779057273264 + 0.00273781191135448 * days + (days % 1)) % 1);
}

/** Orientation of the Earth: IAU 2006 precession and sidereal time, IAU 1980 nutation. */
export function earthOrientation(jdUt: number, jdTt: number): EarthOrientation {
  const t = julianCenturies(jdTt);
  const [dPsi, dEps] = nutation(jdTt);
  const dPsiDeg = rounded(dPsi / RADIANS_PER_ARCSEC, PER_ARCSEC) / 3600;
  const dEpsDeg = rounded(dEps / RADIANS_PER_ARCSEC, PER_ARCSEC) / 3600;
  const meanObliquityDeg = polynomialDeg(t, EPSILON);
  const meanSidereal = rotationAngleDeg(jdUt) + polynomialDeg(t, SIDEREAL);
  const equationOfEquinoxes = dPsiDeg * sinCosDeg(meanObliquityDeg)[1] + complementaryDeg(t);
  return {
    toDate: fukushimaWilliams(t, dPsiDeg, dEpsDeg),
    siderealDeg: (((meanSidereal + equationOfEquinoxes) % 360) + 360) % 360,
    meanSiderealDeg: ((meanSidereal % 360) + 360) % 360,
    obliquityDeg: meanObliquityDeg + dEpsDeg,
    nutationLongitudeDeg: dPsiDeg,
  };
}

/** The two largest complementary terms of the equation of the equinoxes: IERS Conventions (2010), table 5.2e. */
function complementaryDeg(t: number): number {
  const nodeDeg = 125.04452 - 1934.136261 * t;
  return (0.00264096 * sinCosDeg(nodeDeg)[0] + 0.00006352 * sinCosDeg(2 * nodeDeg)[0]) / 3600;
}

/** The Earth's barycentric velocity in units of c, ICRS axes: Ron and Vondrak's series. */
export function earthVelocity(jdTt: number): Vector {
  // The library gives aberration; toward (0, 0) and (90 degrees, 0) that is the velocity itself.
  const [y, z] = aberrationRonVondrak(0, 0, jdTt);
  const [minusX] = aberrationRonVondrak(Math.PI / 2, 0, jdTt);
  return [rounded(-minusX, PER_LIGHT_SPEED), rounded(y, PER_LIGHT_SPEED), rounded(z, PER_LIGHT_SPEED)];
}

const EQUATOR_RADIUS_KM = 6378.137;
const FLATTENING = 1 / 298.257223563;
const ROTATION_RAD_PER_S = 7.292115e-5;
const LIGHT_KM_PER_S = 299792.458;

/** Where on the Earth (WGS 84): distances from the axis and from the equator's plane, in km. */
export function observerKm(latDeg: number, elevationM: number): { axisKm: number; planeKm: number } {
  const [s, c] = sinCosDeg(latDeg);
  const squash = (1 - FLATTENING) * (1 - FLATTENING);
  const normal = EQUATOR_RADIUS_KM / Math.sqrt(c * c + squash * s * s);
  const heightKm = elevationM / 1000;
  return { axisKm: (normal + heightKm) * c, planeKm: (normal * squash + heightKm) * s };
}

/** Speed of a place round the Earth's axis, eastward, in units of c. */
export function rotationSpeed(latDeg: number, elevationM: number): number {
  return (observerKm(latDeg, elevationM).axisKm * ROTATION_RAD_PER_S) / LIGHT_KM_PER_S;
}
