import { describe, expect, test } from "vitest";
import { regionOfZone } from "../../src/job/region.ts";
import { clockAndPass, clockHere, dateAndClock, dateWords, offsetWords } from "../../src/job/writtenTime.ts";

/** Dates and clocks as the Unicode CLDR has them for en-US and en-GB (long date, short time), typed in by hand. */
describe("one style of dates and clocks, that of the place", () => {
  test.each([
    ["America/New_York", "2029-09-08T22:00:00-04:00", "September 8, 2029, 10:00 PM"],
    ["America/Chicago", "2031-02-04T00:05:00-06:00", "February 4, 2031, 12:05 AM"],
    ["Europe/London", "2029-09-08T22:00:00+01:00", "8 September 2029, 22:00"],
    ["America/Halifax", "2029-09-08T09:05:30-03:00", "8 September 2029, 09:05"],
    ["", "1969-07-20T20:17:00Z", "20 July 1969, 20:17"],
  ])("%s: %s is %s", (zone, iso, words) => {
    expect(dateAndClock(iso, zone)).toBe(words);
  });

  test("an hour that came twice says which time is meant; a day alone has no hour", () => {
    expect(clockAndPass("2029-11-04T01:30:00-04:00", "America/New_York", "first")).toBe(
      "1:30 AM (first time)",
    );
    expect(dateWords("2031-02-14", "Europe/Vienna")).toBe("14 February 2031");
  });

  test("this machine's clock is written like the job's, not like the browser's", () => {
    const ms = new Date(2029, 8, 8, 15, 4).getTime();
    expect(clockHere(ms, "Europe/London")).toBe("15:04");
    expect(clockHere(ms, "America/Denver")).toBe("3:04 PM");
  });

  test("offsets, and regions by their zones", () => {
    expect(offsetWords(-180)).toBe("UTC−03:00");
    expect(offsetWords(345)).toBe("UTC+05:45");
    expect(["America/Boise", "Europe/London", "Europe/Dublin", "America/Halifax"].map(regionOfZone)).toEqual([
      "us",
      "gb",
      "eu",
      null,
    ]);
  });
});
