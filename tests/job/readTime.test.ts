import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readClock, readDate } from "../../src/job/readTime.ts";
import { clockWords, dateWords } from "../../src/job/writtenTime.ts";

const [LEEDS, OHIO] = ["Europe/London", "America/New_York"];

describe("days and clocks as people type them", () => {
  test("a day in words, in figures by the region's order, or by ISO 8601", () => {
    for (const text of ["8 September 2029", "September 8, 2029", "8th Sept 2029", "sep 8 2029", "2029-09-08", "2029-9-8"])
      for (const zone of [LEEDS, OHIO]) expect(readDate(text, zone), text).toBe("2029-09-08"); // prettier-ignore
    expect(readDate("08/09/2029", LEEDS)).toBe("2029-09-08");
    expect(readDate("8.9.2029", LEEDS)).toBe("2029-09-08");
    expect(readDate("9/8/2029", OHIO)).toBe("2029-09-08");
  });

  test("what is in no calendar, or says its year in part, is no day", () => {
    // no 29 February in 2100: Gregorian calendar, a century not divisible by 400
    for (const text of ["31 April 2029", "29 Feb 2100", "13/13/2029", "8/9/29", "8 September", "tomorrow", "", "2029"])
      expect(readDate(text, LEEDS), text).toBeNull(); // prettier-ignore
    expect(readDate("29 February 2000", OHIO)).toBe("2000-02-29");
    // a twelve-hour clock has no month 13 either way round
    expect(readDate("25/12/2029", OHIO)).toBeNull();
  });

  test("a clock of 24 hours or of twelve; noon is 12 PM and midnight 12 AM, as CLDR writes English of the United States", () => {
    for (const text of ["22:15", "22.15", "2215", "10:15 PM", "10.15pm", "10:15 p.m."])
      expect(readClock(text), text).toBe("22:15");
    expect(readClock("12:00 PM")).toBe("12:00");
    expect(readClock("12 am")).toBe("00:00");
    expect(readClock("7 pm")).toBe("19:00");
    for (const text of ["24:00", "22:60", "13:00 PM", "0:30 am", "7", "", "late"])
      expect(readClock(text), text).toBeNull();
  });

  test("whatever is written for a region is read again", () => {
    const day = fc.date({ min: new Date("1800-01-01"), max: new Date("2200-12-31"), noInvalidDate: true });
    fc.assert(
      fc.property(day, fc.constantFrom(LEEDS, OHIO, "UTC"), (at, zone) => {
        const iso = at.toISOString();
        expect(readDate(dateWords(iso, zone), zone)).toBe(iso.slice(0, 10));
        expect(readClock(clockWords(iso, zone))).toBe(iso.slice(11, 16));
      }),
    );
  });
});
