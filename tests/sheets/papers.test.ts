import { describe, expect, it } from "vitest";
import { JobFaults } from "../../src/job/faults.ts";
import { PAPERS, paperByName } from "../../src/sheets/papers.ts";
import authority from "../authorities/papers-ghostscript.json" with { type: "json" };

const MM_PER_POINT = 25.4 / 72;
/** Ghostscript's table is in whole points, two entries one point long. */
const ONE_POINT_MM = 1.01 * MM_PER_POINT;

describe("paper sizes", () => {
  it("A sizes follow ISO 216: floor(1000 * 2^(1/4 - n/2) + 0.2) mm, each half the one before", () => {
    const edge = (n: number) => Math.floor(1000 * 2 ** (1 / 4 - n / 2) + 0.2);
    for (let n = 0; n <= 4; n++) {
      const { widthMm, heightMm } = paperByName(`A${n}`);
      expect([widthMm, heightMm]).toEqual([edge(n + 1), edge(n)]);
    }
  });

  it("ANSI sizes follow ASME Y14.1: from 8.5 x 11 in, each sheet two of the one before", () => {
    const series = ["Letter", "Tabloid", "ANSI C", "ANSI D", "ANSI E"].map(paperByName);
    expect(series[0]!.widthMm).toBeCloseTo(8.5 * 25.4, 9);
    expect(series[0]!.heightMm).toBeCloseTo(11 * 25.4, 9);
    for (let i = 1; i < series.length; i++) {
      expect(series[i]!.widthMm).toBeCloseTo(series[i - 1]!.heightMm!, 9);
      expect(series[i]!.heightMm).toBeCloseTo(2 * series[i - 1]!.widthMm, 9);
    }
  });

  it("ARCH sizes are multiples of a 9 x 12 in sheet; E1 is 30 x 42 in (from memory)", () => {
    const inches = (name: string) => {
      const { widthMm, heightMm } = paperByName(name);
      return [widthMm / 25.4, heightMm! / 25.4].map((side) => Math.round(side * 1e6) / 1e6);
    };
    expect(["ARCH A", "ARCH B", "ARCH C", "ARCH D", "ARCH E", "ARCH E1"].map(inches)).toEqual([
      [9, 12],
      [12, 18],
      [18, 24],
      [24, 36],
      [36, 48],
      [30, 42],
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
