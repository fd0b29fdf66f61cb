import { describe, expect, it } from "vitest";
import { Body as EngineBody, Equator, Horizon, Illumination, Observer } from "astronomy-engine";
import { moonKm } from "../../src/sky/bodies.ts";
import { earthOrientation, earthVelocity } from "../../src/sky/earth.ts";
import { skyFrame } from "../../src/sky/frame.ts";
import { apply, horizontalDirection, lengthOf, unit, type Vector } from "../../src/sky/linear.ts";
import { moonMagnitude, planetMagnitude, ringAspect } from "../../src/sky/magnitudes.ts";
import { heliocentric, planetPlace } from "../../src/sky/solarSystem.ts";
import { altitudeDegOf, azimuthDegOf } from "../../src/sky/trig.ts";
import { aNight, ARCSEC_PER_DEGREE, readAuthority, separationArcsec } from "./support.ts";

/** Stated accuracy against PyEphem: arcseconds, the Moon after its share of the two TT - UT tables. */
const SUN_AND_PLANETS_ARCSEC = 5;
const MOON_ARCSEC = 10;
/** The Moon moves half an arcsecond in a second of time. */
const MOON_ARCSEC_PER_S = 0.55;

interface BodiesEphem {
  skies: {
    utc: string;
    latDeg: number;
    lonDeg: number;
    elevationM: number;
    deltaT: number;
    bodies: Record<string, { azimuthDeg: number; altitudeDeg: number; magnitude: number; lit: number }>;
  }[];
}

describe("Sun, Moon and planets against PyEphem", () => {
  // Source: PyEphem, tests/authorities/bodies-ephem.json.
  it.each(readAuthority<BodiesEphem>("bodies-ephem.json").skies)("$utc at $latDeg, $lonDeg", (sky) => {
    const { utc, bodies, deltaT, ...place } = sky;
    const frame = skyFrame(aNight({ place, moment: { utc } }));
    const { jdTt, jdUt } = frame.instant;
    const deltaTDifference = Math.abs((jdTt - jdUt) * 86_400 - deltaT);
    for (const body of [frame.sun, ...frame.bodies]) {
      const expected = bodies[body.name]!;
      const error = separationArcsec(
        horizontalDirection(body.azimuthDeg, body.altitudeDeg),
        horizontalDirection(expected.azimuthDeg, expected.altitudeDeg),
      );
      const tolerance =
        body.name === "moon" ? MOON_ARCSEC + deltaTDifference * MOON_ARCSEC_PER_S : SUN_AND_PLANETS_ARCSEC;
      expect(error, body.name).toBeLessThan(tolerance);
      expect(Math.abs(body.lit - expected.lit), `${body.name} lit`).toBeLessThan(0.01);
    }
  });
});

describe("Sun, Moon and planets against another npm library", () => {
  // Source: astronomy-engine, live; it claims one arcminute.
  it.each([
    ["1931-01-05T06:00:00Z", 52.5, 13.4],
    ["2004-06-08T08:20:00Z", -26.2, 28.0],
    ["2026-10-03T22:00:00Z", 78.2, 15.6],
    ["2061-05-20T01:00:00Z", -12.0, -77.0],
  ])("%s at %f, %f", (utc, latDeg, lonDeg) => {
    const frame = skyFrame(aNight({ place: { latDeg, lonDeg }, moment: { utc } }));
    const observer = new Observer(latDeg, lonDeg, 0);
    for (const body of [frame.sun, ...frame.bodies]) {
      const name = (body.name[0]!.toUpperCase() + body.name.slice(1)) as EngineBody;
      const equator = Equator(name, new Date(utc), observer, true, true);
      const { azimuth, altitude } = Horizon(new Date(utc), observer, equator.ra, equator.dec);
      const error = separationArcsec(
        horizontalDirection(body.azimuthDeg, body.altitudeDeg),
        horizontalDirection(azimuth, altitude),
      );
      expect(error, body.name).toBeLessThan(60);
      // Their magnitudes follow Mallama and Hilton 2018, ours the Astronomical Almanac of 1984.
      const { mag, phase_angle } = Illumination(name, new Date(utc));
      const crescent = phase_angle > 120;
      if (!crescent) expect(Math.abs(body.magnitude - mag), `${body.name} magnitude`).toBeLessThan(0.35);
    }
  });
});

describe("worked examples", () => {
  it("Venus seen from Washington: Meeus, example 13.b", () => {
    // Source: Meeus, ch. 13: azimuth 68.0337 from the south westward, altitude 15.1249, from the Earth's centre.
    const place = { latDeg: 38.921389, lonDeg: -77.065556 };
    const frame = skyFrame(aNight({ place, moment: { utc: "1987-04-10T19:21:00Z" } }));
    const venus = frame.bodies.find((b) => b.name === "venus")!;
    const parallaxDeg = (8.794 / venus.distanceAu / ARCSEC_PER_DEGREE) * Math.cos((15.1249 * Math.PI) / 180);
    expect(venus.azimuthDeg - 180).toBeCloseTo(68.0337, 3);
    expect(venus.altitudeDeg + parallaxDeg).toBeCloseTo(15.1249, 3);
  });

  it("the Sun on 1992 October 13, 0h TD: Meeus, example 25.b", () => {
    // Source: Meeus, ch. 25 (VSOP87): apparent RA 198.378178, Dec -7.783871, R = 0.99760775.
    const jd = 2448908.5;
    const earth = heliocentric("earth", jd);
    const [x, y, z] = fromEarthCentre([-earth[0], -earth[1], -earth[2]], jd);
    expect(Math.abs(azimuthDegOf(x, y) - 198.378178) * ARCSEC_PER_DEGREE).toBeLessThan(2);
    expect(Math.abs(altitudeDegOf(x, y, z) + 7.783871) * ARCSEC_PER_DEGREE).toBeLessThan(2);
    expect(lengthOf(earth)).toBeCloseTo(0.99760775, 5);
  });

  it("Venus on 1992 December 20, 0h TD: Meeus, example 33.a", () => {
    // Source: Meeus, ch. 33: apparent RA 21h 04m 41.50s, Dec -18 53' 16.8".
    const jd = 2448976.5;
    const { fromEarth } = planetPlace("venus", jd, heliocentric("earth", jd));
    const [x, y, z] = fromEarthCentre(fromEarth, jd);
    expect(Math.abs(azimuthDegOf(x, y) - (316 + 10.375 / 60)) * ARCSEC_PER_DEGREE).toBeLessThan(3);
    expect(Math.abs(altitudeDegOf(x, y, z) + 18 + 53 / 60 + 16.8 / 3600) * ARCSEC_PER_DEGREE).toBeLessThan(3);
  });

  it("the Moon on 1992 April 12, 0h TD: Meeus, examples 47.a and 48.a", () => {
    // Source: Meeus, ch. 47: apparent RA 134.688470, Dec 13.768368, 368409.7 km; ch. 48: lit 0.6786.
    const jd = 2448724.5;
    const [x, y, z] = moonKm(jd, earthOrientation(jd, jd));
    expect(azimuthDegOf(x, y)).toBeCloseTo(134.68847, 3);
    expect(altitudeDegOf(x, y, z)).toBeCloseTo(13.768368, 3);
    expect(lengthOf([x, y, z])).toBeCloseTo(368409.7, 0);
    const moon = skyFrame(aNight({ moment: { utc: "1992-04-12T00:00:00Z" } })).bodies[0]!;
    expect(moon.lit).toBeCloseTo(0.6786, 2);
  });

  it("Saturn and its rings on 1992 December 16, 0h TD: Meeus, examples 41.d and 45.a", () => {
    // Source: Meeus, ch. 45: B = 16.442, delta U = 4.198 degrees; ch. 41: +0.7 by the Almanac's formula.
    const jd = 2448972.5;
    const { fromEarth, fromSun } = planetPlace("saturn", jd, heliocentric("earth", jd));
    const { tilt, turn } = ringAspect(fromSun, fromEarth);
    expect((tilt * 180) / Math.PI).toBeCloseTo(16.442, 1);
    expect((turn * 180) / Math.PI).toBeCloseTo(4.198, 1);
    expect(planetMagnitude("saturn", fromSun, fromEarth)).toBeCloseTo(0.7, 1);
  });

  it("a full Moon of -12.7, at half 10 times less light", () => {
    // Source: Allen, Astrophysical Quantities: -12.7 at full, about -10 at the quarters.
    expect(moonMagnitude(0, 384_400)).toBe(-12.73);
    expect(moonMagnitude(Math.PI / 2, 384_400)).toBeCloseTo(-10.1, 1);
  });
});

/** Geocentric, aberrated, on the true equator of date: what the books tabulate. */
function fromEarthCentre(geocentricAu: Vector, jd: number): Vector {
  const [vx, vy, vz] = earthVelocity(jd);
  const [x, y, z] = unit(geocentricAu);
  return apply(earthOrientation(jd, jd).toDate, unit([x + vx, y + vy, z + vz]));
}
