import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { declinationDeg, MAGNETIC_MODEL, shadowBearingDeg } from "../../src/survey/bearing.ts";

/** Declinations at sea level of the official test values: Chulliat et al., The US/UK World Magnetic Model for 2025-2030, table of test values. */
const OFFICIAL = [
  [2025.0, 80, 0, 1.28],
  [2025.0, 0, 120, -0.16],
  [2025.0, -80, 240, 68.78],
  [2027.5, 80, 0, 2.59],
  [2027.5, 0, 120, -0.24],
  [2027.5, -80, 240, 68.49],
] as const;

describe("from a needle to true north", () => {
  test.each(OFFICIAL)(
    "in %d at latitude %d, longitude %d the declination is %d°",
    (year, latDeg, lonDeg, expected) => {
      expect(Math.abs(declinationDeg({ latDeg, lonDeg }, year) - expected)).toBeLessThanOrEqual(0.00501);
    },
  );

  test("all over the Earth as GeographicLib works the model out", () => {
    // scripts/authorities/declination_geographiclib.py
    const { rows } = JSON.parse(readFileSync("tests/authorities/declination-geographiclib.json", "utf8")) as {
      rows: [year: number, latDeg: number, lonDeg: number, declinationDeg: number][];
    };
    expect(rows.length).toBeGreaterThan(300);
    for (const [year, latDeg, lonDeg, expected] of rows) {
      const off = declinationDeg({ latDeg, lonDeg }, year) - expected;
      expect(Math.abs(((off + 540) % 360) - 180), `${year} at ${latDeg}, ${lonDeg}`).toBeLessThan(0.00501);
    }
  });

  test("the model refuses years it is not made for", () => {
    expect(MAGNETIC_MODEL).toEqual({ name: "WMM2025", from: 2025, until: 2030 });
    expect(() => declinationDeg({ latDeg: 45, lonDeg: -64 }, 2030.1)).toThrow(/2025 to 2030/);
    expect(() => declinationDeg({ latDeg: 45, lonDeg: -64 }, Number.NaN)).toThrow(/2025 to 2030/);
  });
});

describe("from the Sun's shadow", () => {
  // PyEphem's Sun (scripts/authorities/bodies_ephem.py): the shadow lies opposite
  const { skies } = JSON.parse(readFileSync("tests/authorities/bodies-ephem.json", "utf8")) as {
    skies: {
      utc: string;
      latDeg: number;
      lonDeg: number;
      bodies: { sun: { azimuthDeg: number; altitudeDeg: number } };
    }[];
  };
  const daylight = skies.filter(({ bodies: { sun } }) => sun.altitudeDeg > 6 && sun.altitudeDeg < 59);

  test.each(daylight)("at $utc, $latDeg, $lonDeg", ({ utc, latDeg, lonDeg, bodies: { sun } }) => {
    const shadow = shadowBearingDeg({ name: "", latDeg, lonDeg, elevationM: 0 }, { utc });
    expect(Math.abs(((shadow - sun.azimuthDeg + 360) % 360) - 180)).toBeLessThan(0.01);
  });

  test("there are such moments, and at night there is no shadow", () => {
    expect(daylight.length).toBeGreaterThan(0);
    expect(() =>
      shadowBearingDeg({ name: "", latDeg: 45, lonDeg: 0, elevationM: 0 }, { utc: "2027-01-01T00:00:00Z" }),
    ).toThrow(/Sun stands/);
  });
});
