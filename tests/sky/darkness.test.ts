import { describe, expect, it } from "vitest";
import {
  darknessWarnings,
  nearestDark,
  nightEvents,
  sunAltitudeDeg,
  type SunLevel,
} from "../../src/sky/darkness.ts";
import { skyFrame } from "../../src/sky/frame.ts";
import { aNight, readAuthority } from "./support.ts";

/** PyEphem gives whole seconds, we too; TT - UT differs by up to 20 s in 2080, which moves the Sun by 1". */
const TOLERANCE_S = 3;

type Times = Record<SunLevel, string>;
interface SunEvents {
  nights: { latDeg: number; lonDeg: number; midnight: string; evening: Times; morning: Times }[];
}
const secondsBetween = (a: string, b: string) => Math.abs(Date.parse(a) - Date.parse(b)) / 1000;
const frameFor = (latDeg: number, lonDeg: number, utc: string) =>
  skyFrame(aNight({ place: { latDeg, lonDeg }, moment: { utc } }));

describe("the night's events against PyEphem", () => {
  // Source: PyEphem, tests/authorities/sun-events-ephem.json.
  it.each(readAuthority<SunEvents>("sun-events-ephem.json").nights)(
    "$midnight at $latDeg, $lonDeg",
    (night) => {
      const events = nightEvents(frameFor(night.latDeg, night.lonDeg, night.midnight));
      for (const level of ["horizon", "civil", "nautical", "astronomical"] as const) {
        expect(secondsBetween(events.evening[level]!.utcIso, night.evening[level])).toBeLessThan(TOLERANCE_S);
        expect(secondsBetween(events.morning[level]!.utcIso, night.morning[level])).toBeLessThan(TOLERANCE_S);
      }
    },
  );
});

describe("darkness", () => {
  it("finds the dark on both sides of a day", () => {
    const [evening, next] = readAuthority<SunEvents>("sun-events-ephem.json")
      .nights.slice(0, 1)
      .map((n) => [n.evening.astronomical, n.morning.astronomical])[0]!;
    const { before, after, darkNow } = nearestDark(frameFor(48.2082, 16.3738, "2026-06-20T10:00:00Z"));
    expect(darkNow).toBe(false);
    // The night of 20 June begins at `evening`; the one before ended 3 seconds later than this one will.
    expect(secondsBetween(after!.utcIso, evening!)).toBeLessThan(TOLERANCE_S);
    expect(secondsBetween(before!.utcIso, next!)).toBeLessThan(86_400 + 60);
    expect(before!.jdUt).toBeLessThan(after!.jdUt);
  });

  it("searches past weeks of white nights, to within a minute of arc of -18 degrees", () => {
    for (const [lat, utc] of [
      [69.65, "2026-06-20T10:00:00Z"],
      [90, "2026-06-20T12:00:00Z"],
      [-90, "2026-12-20T12:00:00Z"],
      [51.5, "2026-06-21T00:00:00Z"],
    ] as const) {
      const frame = frameFor(lat, 18.96, utc);
      const { before, after } = nearestDark(frame);
      for (const edge of [before!, after!]) {
        expect(sunAltitudeDeg(frame.instant, frame.place, edge.jdUt)).toBeCloseTo(-18, 1);
      }
      // Nothing nearer is dark: the Sun never sinks below -18 between the two, sampled each half hour.
      for (let jd = before!.jdUt + 0.02; jd < after!.jdUt - 0.02; jd += 1 / 48) {
        expect(sunAltitudeDeg(frame.instant, frame.place, jd)).toBeGreaterThan(-18);
      }
    }
  });

  it("says when it is dark now", () => {
    const frame = frameFor(48.2, 16.4, "2031-02-14T20:00:00Z");
    expect(nearestDark(frame)).toEqual({ darkNow: true, before: null, after: null });
    expect(darknessWarnings(frame, "here")).toEqual([]);
  });

  it.each([
    ["2026-03-20T12:00:00Z", ["sun-is-up"]],
    ["2026-03-20T17:20:00Z", ["civil-twilight"]],
    ["2026-03-20T17:50:00Z", ["nautical-twilight"]],
    ["2026-03-20T18:30:00Z", ["astronomical-twilight"]],
    ["2026-03-20T19:30:00Z", []],
  ])("warns at %s in Vienna of %j", (utc, codes) => {
    expect(darknessWarnings(frameFor(48.2082, 16.3738, utc), "p").map((w) => w.code)).toEqual(codes);
  });

  it("warns of a night that never gets dark, with times on the place's clock", () => {
    const night = aNight({
      place: { latDeg: 60.17, lonDeg: 24.94 },
      moment: { local: "2026-06-21T23:30", zone: "Europe/Helsinki" },
    });
    const warnings = darknessWarnings(skyFrame(night), "sky.options[0].moment");
    expect(warnings.map((w) => w.code)).toEqual(["civil-twilight", "never-dark"]);
    expect(warnings[0]!.message).toContain("21 June 2026, 23:30 (UTC+03:00)");
    expect(warnings[0]!.message).toMatch(/next dark at \d+ August 2026, \d\d:\d\d \(UTC\+03:00\)/);
    expect(warnings[0]!.path).toBe("sky.options[0].moment");
  });
});
