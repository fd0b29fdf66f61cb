import { describe, expect, it } from "vitest";
import { JobFaults } from "../../src/job/faults.ts";
import { PAPERS, paperByName, type Paper } from "../../src/sheets/papers.ts";
import authority from "../authorities/papers-ghostscript.json" with { type: "json" };

const MM_PER_POINT = 25.4 / 72;
/** Ghostscript's table is in whole points, two entries one point long. */
const ONE_POINT_MM = 1.01 * MM_PER_POINT;

/** All papers of a standard: one more is compared with it too. */
const of = (...families: Paper["family"][]): readonly Paper[] =>
  PAPERS.filter(({ family }) => families.includes(family));

describe("paper sizes", () => {
  it("A sizes follow ISO 216: floor(1000 * 2^(1/4 - n/2) + 0.2) mm, each half the one before", () => {
    const edge = (n: number) => Math.floor(1000 * 2 ** (1 / 4 - n / 2) + 0.2);
    for (const { name, widthMm, heightMm } of of("ISO 216")) {
      expect(name).toMatch(/^A\d$/);
      const n = Number(name[1]);
      expect([widthMm, heightMm], name).toEqual([edge(n + 1), edge(n)]);
    }
  });

  it("ANSI sizes follow ASME Y14.1: from 8.5 x 11 in, each sheet two of the one before", () => {
    // Legal is no size of the standard: Ghostscript has it
    const series = of("US", "ANSI Y14.1").filter(({ name }) => name !== "Legal");
    expect(series[0]!.widthMm).toBeCloseTo(8.5 * 25.4, 9);
    expect(series[0]!.heightMm).toBeCloseTo(11 * 25.4, 9);
    for (let i = 1; i < series.length; i++) {
      expect(series[i]!.widthMm).toBeCloseTo(series[i - 1]!.heightMm!, 9);
      expect(series[i]!.heightMm).toBeCloseTo(2 * series[i - 1]!.widthMm, 9);
    }
  });

  it("ARCH sizes are multiples of a 9 x 12 in sheet; E1 is 30 x 42 in (from memory)", () => {
    const inches = (sideMm: number) => Math.round((sideMm / 25.4) * 1e6) / 1e6;
    const sizes = of("ARCH").map((paper) => [paper.name, inches(paper.widthMm), inches(paper.heightMm!)]);
    expect(sizes).toEqual([
      ["ARCH A", 9, 12],
      ["ARCH B", 12, 18],
      ["ARCH C", 18, 24],
      ["ARCH D", 24, 36],
      ["ARCH E1", 30, 42],
      ["ARCH E", 36, 48],
    ]);
  });

  it.each(Object.entries(authority.points))("%s is what Ghostscript has", (name, [width, height]) => {
    const paper = paperByName(name);
    expect(Math.abs(paper.widthMm - width! * MM_PER_POINT)).toBeLessThan(ONE_POINT_MM);
    expect(Math.abs(paper.heightMm! - height! * MM_PER_POINT)).toBeLessThan(ONE_POINT_MM);
  });

  it("rolls are as wide as they say and have no end", () => {
    expect(PAPERS.filter((p) => p.heightMm === null).map((p) => [p.name, p.widthMm])).toEqual([
      ["Roll 24 in", 609.6],
      ["Roll 36 in", 914.4],
      ["Roll 42 in", 1066.8],
    ]);
  });

  it("every margin leaves room for a bar of 150 mm both ways", () => {
    for (const { widthMm, heightMm, marginMm } of PAPERS) {
      expect(widthMm - 2 * marginMm.sides).toBeGreaterThan(198 - 1e-9);
      expect((heightMm ?? Infinity) - 2 * marginMm.ends).toBeGreaterThan(150);
    }
  });

  it("takes a name as people write it, and says what there is otherwise", () => {
    expect(paperByName("arch-e1").name).toBe("ARCH E1");
    expect(paperByName("roll 24in").name).toBe("Roll 24 in");
    try {
      paperByName("A5");
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(JobFaults);
      const [fault] = (error as JobFaults).faults;
      expect(fault).toMatchObject({ path: "sheets.paper", got: '"A5"' });
      expect(fault!.expected).toContain("ARCH E1");
    }
  });
});
