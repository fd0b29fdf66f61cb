import { describe, expect, it } from "vitest";
import { JobFaults } from "../../src/job/faults.ts";
import {
  instantOnClock,
  julianDate,
  momentWarnings,
  resolveMoment,
  terrestrialTime,
} from "../../src/sky/time.ts";
import { readAuthority } from "./support.ts";

interface CivilTimes {
  times: { local: string; zone: string; earlier: string; later: string }[];
}

function faultOf(run: () => unknown) {
  try {
    run();
  } catch (error) {
    if (error instanceof JobFaults) return error.faults[0]!;
    throw error;
  }
  throw new Error("nothing was refused");
}

describe("civil time", () => {
  // Source: Python zoneinfo with Debian's IANA data, tests/authorities/civil-time.json.
  const { times } = readAuthority<CivilTimes>("civil-time.json");
  it.each(times)("$local in $zone is what zoneinfo says", ({ local, zone, earlier, later }) => {
    const read = (occurrence: "earlier" | "later") => resolveMoment({ local, zone, occurrence }).utcIso;
    expect([read("earlier"), read("later")]).toEqual([earlier, later]);
  });

  it("names both readings of a time the clock showed twice", () => {
    const fault = faultOf(() => resolveMoment({ local: "2026-10-25T02:30", zone: "Europe/Vienna" }, "here"));
    expect(fault.path).toBe("here.occurrence");
    expect(fault.next).toContain("2026-10-25T00:30:00Z");
    expect(fault.next).toContain("2026-10-25T01:30:00Z");
  });

  it("names both sides of a gap", () => {
    const fault = faultOf(() => resolveMoment({ local: "2026-03-29T02:30", zone: "Europe/Vienna" }));
    expect(fault.path).toBe("moment.local");
    expect(fault.next).toContain("from 2026-03-29T02:00:00 straight to 2026-03-29T03:00:00");
    // Samoa skipped a whole day.
    const day = faultOf(() => resolveMoment({ local: "2011-12-30T12:00", zone: "Pacific/Apia" }));
    expect(day.next).toContain("from 2011-12-30T00:00:00 straight to 2011-12-31T00:00:00");
  });

  it("lets the offset be set by hand, and says so", () => {
    // Amsterdam kept local mean time, +0:19:32, until 1937; merged zone data say +0:00.
    const moment = { local: "1920-02-28T02:30:00", zone: "Europe/Amsterdam", offsetMin: 19 + 32 / 60 };
    const instant = resolveMoment(moment);
    expect(instant.utcIso).toBe("1920-02-28T02:10:28Z");
    expect(instant.localIso).toBe("1920-02-28T02:30:00+00:19:32");
    expect(momentWarnings(moment, instant, "m")[0]).toMatchObject({
      code: "offset-by-hand",
      path: "m.offsetMin",
    });
  });

  it("warns of zone histories before 1970 only", () => {
    const codes = (local: string) => {
      const moment = { local, zone: "Europe/Stockholm" };
      return momentWarnings(moment, resolveMoment(moment)).map((w) => w.code);
    };
    expect(codes("1941-07-01T12:00")).toEqual(["zone-history-merged"]);
    expect(codes("1969-12-31T23:59")).toEqual(["zone-history-merged"]);
    expect(codes("1970-01-01T00:00")).toEqual([]);
  });

  it.each([
    [{ local: "1799-12-31T23:59", zone: "UTC" }, "moment.local"],
    [{ local: "2201-01-01T00:00", zone: "UTC" }, "moment.local"],
    [{ local: "2026-02-29T00:00", zone: "UTC" }, "moment.local"],
    [{ local: "2026-02-28T24:00", zone: "UTC" }, "moment.local"],
    [{ local: "2026-02-28T20:00+01:00", zone: "UTC" }, "moment.local"],
    [{ local: "tomorrow", zone: "UTC" }, "moment.local"],
    [{ local: "2026-02-28T20:00", zone: "Mars/Olympus" }, "moment.zone"],
    [{ local: "2026-02-28T20:00", zone: "UTC", offsetMin: Number.NaN }, "moment.offsetMin"],
    [{ utc: "2026-02-28T20:00" }, "moment.utc"],
    [{ utc: "2026-13-28T20:00Z" }, "moment.utc"],
  ])("refuses %o", (moment, path) => {
    expect(faultOf(() => resolveMoment(moment)).path).toBe(path);
  });

  it("goes to both ends of its range", () => {
    expect(resolveMoment({ utc: "1800-01-01T00:00:00Z" }).utcIso).toBe("1800-01-01T00:00:00Z");
    expect(resolveMoment({ utc: "2200-12-31T23:59:59Z" }).utcIso).toBe("2200-12-31T23:59:59Z");
  });

  it("follows the zone, or the offset given by hand, to another time", () => {
    const winter = resolveMoment({ local: "2026-01-10T20:00", zone: "Europe/Vienna" });
    expect(instantOnClock(winter, winter.jdUt + 180).localIso).toBe("2026-07-09T21:00:00+02:00");
    const fixed = resolveMoment({ local: "2026-01-10T20:00", zone: "Europe/Vienna", offsetMin: 330 });
    expect(instantOnClock(fixed, fixed.jdUt + 180).localIso).toBe("2026-07-09T20:00:00+05:30");
  });
});

describe("scales of time", () => {
  it("counts Julian days as Meeus does", () => {
    // Source: Meeus, Astronomical Algorithms, ch. 7: 1957 October 4.81 and the table of dates.
    expect(julianDate(Date.UTC(1957, 9, 4, 19, 26, 24))).toBeCloseTo(2436116.31, 6);
    expect(julianDate(Date.UTC(1999, 0, 1))).toBe(2451179.5);
    expect(julianDate(Date.UTC(1987, 3, 10))).toBe(2446895.5);
    expect(julianDate(Date.UTC(1900, 0, 1))).toBe(2415020.5);
  });

  it("has TT - UT near the observed values", () => {
    // Source: Espenak and Meeus, Five Millennium Canon of Solar Eclipses, table of delta T (from memory):
    // 1800 13.7 s (USNO's own table has 12.6), 1900 -2.8 s, 1950 29.1 s, 2000 63.8 s; 2020 69.4 s (IERS).
    const seconds = (year: number) => {
      const jd = julianDate(Date.UTC(year, 0, 1));
      return (terrestrialTime(jd) - jd) * 86_400;
    };
    expect(Math.abs(seconds(1800) - 13.7)).toBeLessThan(1.5);
    expect(Math.abs(seconds(1900) + 2.8)).toBeLessThan(0.2);
    expect(Math.abs(seconds(1950) - 29.1)).toBeLessThan(0.2);
    expect(Math.abs(seconds(2000) - 63.8)).toBeLessThan(0.1);
    expect(Math.abs(seconds(2020) - 69.4)).toBeLessThan(0.5);
  });

  it("never jumps by more than the tables' seams", () => {
    for (let year = 1800; year < 2200.5; year += 1 / 24) {
      const jd = 2451545 + (year - 2000) * 365.25;
      const step = (terrestrialTime(jd + 15.2) - 15.2 - terrestrialTime(jd)) * 86_400;
      expect(Math.abs(step), `around ${year}`).toBeLessThan(4);
    }
  });
});
