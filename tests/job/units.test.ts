import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { JobFaults } from "../../src/job/faults.ts";
import {
  formatLength,
  lengthAsTyped,
  parseLength,
  partWords,
  type LengthUnits,
} from "../../src/job/units.ts";

/** 1 in = 25.4 mm exactly: agreement of 1959 among the standards laboratories of six countries. */
describe("typed lengths", () => {
  it.each([
    // [typed, mm], inches worked by hand: 8 ft 3 1/2 in = 99.5 in = 2527.3 mm.
    ["8' 3 1/2\"", 2527.3],
    ["8'3 1/2\"", 2527.3],
    ["8ft 3 1/2in", 2527.3],
    ["8 ft. 3-1/2 in.", 2527.3],
    ["8'-3½\"", 2527.3],
    ["8′ 3½″", 2527.3],
    ["8’ 3 ½”", 2527.3],
    ["8′3⁄4″".replace("′3", "′ 3"), 2457.45],
    ["8 feet 3.5 inches", 2527.3],
    ["8' 3", 2514.6],
    ["99 1/2 in", 2527.3],
    ['99.5"', 2527.3],
    ["99,5 in", 2527.3],
    ["24in", 609.6],
    ["2'", 609.6],
    ["2 ft", 609.6],
    ["16'", 4876.8],
    ['3/4"', 19.05],
    ["¾''", 19.05],
    ["15/16 in", 23.8125],
    ["23 3/4 in", 603.25],
    ["1/64 in", 0.396875],
    ["8 1/2 ft", 2590.8],
    ["2.5m", 2500],
    ["2,5 m", 2500],
    ["1,2 m", 1200],
    ["1.200 m", 1200],
    ["0,125 m", 125],
    ["2 m 50 cm", 2500],
    ["1 m 2 cm 3 mm", 1023],
    ["1 200 mm", 1200],
    ["1 200 mm", 1200],
    ["1 200,5 mm", 1200.5],
    ["1,234.5 mm", 1234.5],
    ["1.234,5 mm", 1234.5],
    ["60.96 cm", 609.6],
    ["609.6 millimetres", 609.6],
    ["2 Meters", 2000],
    [".5 in", 12.7],
    ["-1' 6\"", -457.2],
    ["−25 mm", -25],
    ["0", 0],
  ])("%s is %d mm", (text, mm) => {
    expect(parseLength(text, "mm")).toBe(mm); // to the last bit
  });

  it.each([
    ["mm", "600", 600],
    ["cm", "60", 600],
    ["m", "0.6", 600],
    ["ft-in", "24", 609.6],
    ["ft-in", "23 3/4", 603.25],
    ["ft-in", "600 mm", 600],
    ["m", "24 in", 609.6],
  ] as const)("in %s, %s is %d mm", (units, text, mm) => {
    expect(parseLength(text, units)).toBe(mm);
  });

  it.each([
    ["", /Type it like/],
    ["   ", /Type it like/],
    ["wide", /Type it like/],
    ["12 yards", /no unit known/],
    ["12 x 14", /no unit known/],
    ["1,200 mm", /two ways: type 1200 or 1.200/],
    ["1.2.3 m", /Type it like/],
    ["8' 14\"", /below 12/],
    ["8' 12\"", /below 12/],
    ["3\" 8'", /feet before inches/],
    ["2 m 3 in", /one system/],
    ["2 m 50", /unit of every number/],
    ["8.5' 3\"", /Only the last/],
    ["3/0 in", /below the line/],
    ["1e3 mm", /no unit known/],
    ["NaN", /Type it like/],
    ["Infinity", /Type it like/],
    ["99999999999999999999", /Too many digits/],
    ["8' 3\" 2", /unit of every number|one system/],
    ["5 - mm", /no unit known/],
    ["--5 mm", /Type it like/],
    ["<script>", /Type it like/],
    ["1".repeat(100), /Type it like/],
  ])("refuses '%s' and says what to type", (text, next) => {
    try {
      parseLength(text, "mm", "ceiling.heightMm");
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(JobFaults);
      const [fault] = (error as JobFaults).faults;
      expect(fault!.path).toBe("ceiling.heightMm");
      expect(fault!.next).toMatch(next);
    }
  });

  it("never fails in any other way, whatever is typed", () => {
    const junk = fc.string({ unit: fc.constantFrom(..." 0123456789.,/'\"-½mcinft'′″x") });
    fc.assert(
      fc.property(
        fc.oneof(junk, fc.string()),
        fc.constantFrom<LengthUnits[]>("mm", "cm", "m", "ft-in"),
        (text, units) => {
          try {
            expect(Number.isFinite(parseLength(text, units))).toBe(true);
          } catch (error) {
            if (!(error instanceof JobFaults)) throw error;
          }
        },
      ),
      { seed: 2301, numRuns: 3000 },
    );
  });
});

describe("lengths shown", () => {
  it.each([
    [609.6, "mm", "609.6 mm"],
    [609.6, "cm", "60.96 cm"],
    [609.6, "m", "609.6 mm"],
    [3609.6, "m", "3.6096 m"],
    [609.6, "ft-in", "2' 0\""],
    [600, "ft-in", "1' 11 5/8\""],
    [610, "ft-in", "2' 0\""],
    [603.25, "ft-in", "1' 11 3/4\""],
    [2527.3, "ft-in", "8' 3 1/2\""],
    [19.05, "ft-in", '3/4"'],
    [304.8, "ft-in", "1' 0\""],
    [317.5, "ft-in", "1' 0 1/2\""],
    [304.7, "ft-in", "1' 0\""],
    [0, "ft-in", '0"'],
    [-457.2, "ft-in", "-1' 6\""],
    [-0.1, "ft-in", '0"'],
    [4876.8, "mm", "4876.8 mm"],
    [-0.001, "m", "-0.001 mm"],
    [-0.0001, "mm", "0 mm"],
    [60_000, "m", "60 m"],
    [1234, "mm", "1234 mm"],
  ] as const)("%d mm in %s: %s", (mm, units, text) => {
    expect(formatLength(mm, units)).toBe(text);
  });

  it.each([
    [609.6, "m", "0.6096 m"],
    [609.6, "cm", "60.96 cm"],
    [609.6, "ft-in", "2' 0\""],
  ] as const)("%d mm in a field of %s, where a bare number is read as such: %s", (mm, units, text) => {
    expect(lengthAsTyped(mm, units)).toBe(text);
  });

  it.each([
    [1219.2, "m", "1219.2 mm"],
    [24, "cm", "24 mm"],
    [1219.2, "ft-in", "4' 0\""],
  ] as const)("a part of %d mm in a room of %s: %s", (mm, units, text) => {
    expect(partWords(mm, units)).toBe(text);
  });

  it("come back as they were: to the micrometre, and to the sixteenth", () => {
    const um = fc.integer({ min: -60_000_000, max: 60_000_000 });
    fc.assert(
      fc.property(um, fc.constantFrom<LengthUnits[]>("mm", "cm", "m"), (n, units) => {
        expect(parseLength(formatLength(n / 1000, units), "mm")).toBe(n / 1000);
        expect(parseLength(lengthAsTyped(n / 1000, units), "mm")).toBe(n / 1000);
      }),
      { seed: 2302, numRuns: 2000 },
    );
    fc.assert(
      fc.property(fc.integer({ min: -30_000, max: 30_000 }), (sixteenths) => {
        const mm = (sixteenths * 127) / 80;
        expect(parseLength(formatLength(mm, "ft-in"), "mm")).toBe(mm);
      }),
      { seed: 2303, numRuns: 2000 },
    );
  });

  it("round feet and inches by no more than 1/32 in", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60_000_000 }), (n) => {
        expect(Math.abs(parseLength(formatLength(n / 1000, "ft-in"), "mm") - n / 1000)).toBeLessThanOrEqual(
          25.4 / 32 + 1e-9,
        );
      }),
      { seed: 2304, numRuns: 500 },
    );
  });

  it("are lengths", () => {
    expect(() => formatLength(NaN, "mm")).toThrow(RangeError);
  });
});
