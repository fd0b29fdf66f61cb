import { describe, expect, it } from "vitest";
import { Refraction } from "astronomy-engine";
import { airMass, extinctionMilli } from "../../src/sky/extinction.ts";
import { FACTS } from "../../src/trade/facts.ts";
import { horizontalDirection } from "../../src/sky/linear.ts";
import { refract, refractionArcmin, unrefract } from "../../src/sky/refraction.ts";
import { altitudeDegOf } from "../../src/sky/trig.ts";
import { separationArcsec } from "./support.ts";

/** Air mass at an apparent altitude, another way: Pickering, DIO 12 (2002) 20. */
const airMassPickering = (altitudeDeg: number): number =>
  1 / Math.sin(((altitudeDeg + 244 / (165 + 47 * altitudeDeg ** 1.1)) * Math.PI) / 180);

/** Meeus's constant that makes Saemundsson's formula vanish at the zenith, in degrees. */
const ZENITH_TERM_DEG = 0.0019279 / 60;

describe("refraction", () => {
  it("lifts the Sun of Meeus' example 16.a by 24.6 arcminutes", () => {
    // Source: Meeus, Astronomical Algorithms, ch. 16: true altitude 33' 14.76", R = 24.618'.
    expect(refractionArcmin(33 / 60 + 14.76 / 3600)).toBeCloseTo(24.618 + 0.0019, 2);
  });

  it("agrees with another library's Saemundsson at every altitude", () => {
    // Source: astronomy-engine (npm), Refraction("normal"), live.
    for (let altitude = -0.99; altitude < 90; altitude += 0.37) {
      const theirs = Refraction("normal", altitude) + ZENITH_TERM_DEG;
      expect(refractionArcmin(altitude) / 60).toBeCloseTo(theirs, 9);
    }
  });

  it("by its table is within 0.01 arcseconds of the formula", () => {
    for (let altitude = -0.8; altitude <= 90; altitude += 0.0137) {
      const seen = refract(horizontalDirection(77, altitude));
      const lifted = horizontalDirection(77, altitude + refractionArcmin(altitude) / 60);
      expect(separationArcsec(seen, lifted), `at ${altitude}`).toBeLessThan(0.01);
    }
  });

  it("leaves the zenith alone, lifts the horizon by 29 arcminutes, and stops well below", () => {
    expect(refract([0, 0, 1])[2]).toBeCloseTo(1, 12);
    expect(refractionArcmin(90)).toBeCloseTo(0, 6);
    expect(altitudeDegOf(...refract([1, 0, 0])) * 60).toBeCloseTo(28.98, 1);
    expect(refract(horizontalDirection(0, -3))).toEqual(horizontalDirection(0, -3));
  });

  it("can be undone", () => {
    for (let altitude = 0; altitude <= 90; altitude += 0.31) {
      const seen = horizontalDirection(200, altitude);
      expect(separationArcsec(refract(unrefract(seen)), seen)).toBeLessThan(1e-3);
    }
  });
});

describe("extinction", () => {
  it("has the air masses of the tables", () => {
    // Source: Kasten and Young, Applied Optics 28 (1989) 4735, their formula worked out by hand: altitude 30: 1.99, 20: 2.90, 10: 5.6, 5: 10.3.
    expect(airMass(30)).toBeCloseTo(1.99, 2);
    expect(airMass(20)).toBeCloseTo(2.9, 2);
    expect(airMass(10)).toBeCloseTo(5.6, 1);
    expect(airMass(5)).toBeCloseTo(10.3, 1);
    // Source: Kasten and Young 1989, text: about 38 at the horizon, and 0.9997 at the zenith.
    expect(airMass(0)).toBeCloseTo(37.9, 1);
    expect(airMass(90)).toBeCloseTo(1, 3);
  });

  it("agrees with Pickering's air mass above 5 degrees", () => {
    // Source: Pickering 2002, DIO 12, from memory; its horizon is 38.7.
    for (let altitude = 5; altitude <= 90; altitude += 2.5) {
      expect(Math.abs(airMass(altitude) / airMassPickering(altitude) - 1)).toBeLessThan(0.01);
    }
    expect(airMassPickering(0)).toBeCloseTo(38.7, 0);
  });

  it("dims as Green's table for sea level", () => {
    // Source: Green's table (icq.eps.harvard.edu/ICQExtinct.html): 60 degrees from the zenith 0.56, 80: 1.59, 85: 2.91 magnitudes.
    // Green's own air mass formula (Rozenberg's) lies a little above Kasten and Young's near the horizon.
    const dimming = (zenithDistance: number) =>
      extinctionMilli(horizontalDirection(0, 90 - zenithDistance)[2]) / 1000;
    expect(dimming(60)).toBeCloseTo(0.56, 2);
    expect(Math.abs(dimming(80) - 1.59)).toBeLessThan(0.03);
    expect(Math.abs(dimming(85) - 2.91)).toBeLessThan(0.05);
  });

  it("by its table is within two thousandths of the formula above 1 degree", () => {
    for (let altitude = 1; altitude <= 90; altitude += 0.173) {
      const exact = 1000 * FACTS.extinctionMag.value * airMass(altitude);
      expect(Math.abs(extinctionMilli(horizontalDirection(0, altitude)[2]) - exact)).toBeLessThan(2);
    }
  });
});
