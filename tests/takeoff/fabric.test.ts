import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { acrossCount, blanksOf, blankSideUm } from "../../src/takeoff/blanks.ts";
import { layOut } from "../../src/takeoff/cutPlan.ts";
import { assumedFacts, makeTakeoff } from "../../src/takeoff/takeoff.ts";
import type { Blank, CutPlan } from "../../src/takeoff/types.ts";
import { cluster, room } from "../bundles/support.ts";

const INCH = 25.4;
const inches = (um: number) => um / 1000 / INCH;

describe("blank sizes, worked out by hand", () => {
  // Tile 23 3/4 in nominal 24 in module: counting the module's 24 in: 24 + 2 x (5/8 + wrap).
  test.each([
    [2, 5 / 8, 29.25],
    [1.5, 5 / 8, 28.25],
    [1, 5 / 8, 27.25],
    [2, 1, 30],
  ])("24 in, wrap %d in, %d in thick", (wrap, thick, side) => {
    // prettier-ignore
    expect(inches(blankSideUm(24 * INCH * 1000, thick * INCH, wrap * INCH))).toBeCloseTo(side, 4);
  });

  // The same from the real tile of 23 3/4 in: they come to 29.0, 28.0, 27.0 and 29.75.
  test.each([
    [2, 5 / 8, 29],
    [1.5, 5 / 8, 28],
    [1, 5 / 8, 27],
    [2, 1, 29.75],
  ])("23 3/4 in, wrap %d in, %d in thick, worked out by hand", (wrap, thick, side) => {
    // prettier-ignore
    expect(inches(blankSideUm(23.75 * INCH * 1000, thick * INCH, wrap * INCH))).toBeCloseTo(side, 4);
  });

  test("595 x 15 mm: 725 with 50 mm wrap, 705 with 40", () => {
    expect([50, 40].map((wrap) => blankSideUm(595_000, 15, wrap) / 1000)).toEqual([725, 705]);
  });
});

// Worked out by hand: "29 in: 54 -> 1, 58 -> 1, 60 -> 2; 28 in: 58 -> 2; 725 mm: 1370 -> 1, 1400 -> 1, 1500 -> 2", less 25 mm.
test.each([
  [29 * INCH, 54 * INCH, 1],
  [29 * INCH, 58 * INCH, 1],
  [29 * INCH, 60 * INCH, 2],
  [28 * INCH, 58 * INCH, 2],
  [725, 1370, 1],
  [725, 1400, 1],
  [725, 1500, 2],
])("a blank of %d mm on a roll of %d mm: %d across", (blank, roll, count) => {
  // prettier-ignore
  expect(acrossCount(blank, roll, 25)).toBe(count);
});

test("a blank of 24 x 48 in, 53 in wide, does not fit 54 in after selvedge; along a 58 in roll it does", () => {
  const across: Blank = { name: "A1", acrossUm: 53 * INCH * 1000, alongUm: 29 * INCH * 1000 };
  expect(layOut([across], 54 * INCH * 1000, 25_000).tooWide).toHaveLength(1);
  expect(layOut([across], 58 * INCH * 1000, 25_000).lengthUm).toBe(29 * INCH * 1000);
});

/** Cuts from edge to edge: a set of blanks that can be parted by one straight cut, again and again. */
function isGuillotine(parts: CutPlan["placed"]): boolean {
  if (parts.length <= 1) return true;
  for (const axis of ["x", "y"] as const) {
    const from = (b: CutPlan["placed"][number]) => (axis === "x" ? b.xUm : b.yUm);
    const to = (b: CutPlan["placed"][number]) => from(b) + (axis === "x" ? b.acrossUm : b.alongUm);
    for (const cut of new Set(parts.map(to))) {
      const [low, high] = [parts.filter((b) => to(b) <= cut), parts.filter((b) => from(b) >= cut)];
      if (low.length + high.length === parts.length && high.length > 0)
        return isGuillotine(low) && isGuillotine(high);
    }
  }
  return false;
}

test("every blank once, none turned, none overlapping, all on the roll, cut from edge to edge (seed 23)", () => {
  let worst = 0;
  const blank = fc.record({ acrossUm: fc.integer({ min: 50_000, max: 1_390_000 }), alongUm: fc.integer({ min: 50_000, max: 900_000 }) }); // prettier-ignore
  fc.assert(
    fc.property(fc.array(blank, { minLength: 1, maxLength: 40 }), (sizes) => {
      const blanks = sizes.map((size, i): Blank => ({ name: `B${i}`, ...size }));
      const plan = layOut(blanks, 1_400_000, 25_000);
      const all = [...plan.placed, ...plan.tooWide].map(({ name }) => name).sort();
      expect(all).toEqual(blanks.map(({ name }) => name).sort());
      for (const [i, a] of plan.placed.entries()) {
        expect({ acrossUm: a.acrossUm, alongUm: a.alongUm }).toEqual(sizes[Number(a.name.slice(1))]);
        expect(a.xUm).toBeGreaterThanOrEqual(0);
        expect(a.xUm + a.acrossUm).toBeLessThanOrEqual(1_372_000);
        expect(a.yUm + a.alongUm).toBeLessThanOrEqual(plan.lengthUm);
        for (const b of plan.placed.slice(i + 1))
          expect(
            a.xUm + a.acrossUm <= b.xUm || b.xUm + b.acrossUm <= a.xUm || a.yUm + a.alongUm <= b.yUm || b.yUm + b.alongUm <= a.yUm, // prettier-ignore
          ).toBe(true);
      }
      expect(plan.lengthUm).toBeGreaterThanOrEqual(plan.leastUm);
      expect(isGuillotine(plan.placed)).toBe(true);
      worst = Math.max(worst, plan.leastUm > 0 ? plan.lengthUm / plan.leastUm : 1);
    }),
    { seed: 23, numRuns: 150 },
  );
  expect(worst).toBeLessThan(2);
});

test("48 tiles of 24 in on a roll of 60 in: two across, 24 rows, no shorter plan exists", () => {
  const side = Math.round(29 * INCH * 1000);
  const blanks = Array.from({ length: 48 }, (_, i): Blank => ({
    name: `T${i}`,
    acrossUm: side,
    alongUm: side,
  }));
  const plan = layOut(blanks, 60 * INCH * 1000, 25_000);
  expect(plan.lengthUm).toBeCloseTo(24 * side, 3);
  const narrow = layOut(blanks, 54 * INCH * 1000, 25_000);
  expect([narrow.lengthUm, narrow.leastUm].map((um) => Math.round(um))).toEqual([48 * side, 48 * side]);
});

describe("from a ceiling", () => {
  const input = room({
    ceiling: { tiles: { A1: { use: "plain" }, A2: { use: "fabric" } }, grid: { moduleMm: [600, 600], originMm: [0, 0], tileMm: [595, 595], thicknessMm: 15 } }, // prettier-ignore
    outlineMm: [[0, 0], [3100, 0], [3100, 2400], [0, 2400]], // prettier-ignore
    bundles: {},
    takeoff: { fabric: { rollWidthMm: 1500, wrapMm: 50, spareBlanks: 2 } },
    holes: cluster(0, 0, 3),
  });

  test("plain tiles get none, covered ones do, cut ones at their own size, and the spares", () => {
    const blanks = blanksOf(input.ceiling, input.job.takeoff);
    const names = blanks.map(({ name }) => name);
    expect(names).not.toContain("A1");
    expect(names).toContain("A2");
    expect(names.filter((n) => n.startsWith("spare"))).toHaveLength(2);
    const covered = input.ceiling.tiles.filter(({ use }) => use !== "plain");
    expect(blanks).toHaveLength(covered.length + 2);
    expect(blanks.find(({ name }) => name === "D1")).toMatchObject({ acrossUm: 725_000, alongUm: 725_000 });
    const narrow = input.ceiling.tiles.find(({ name }) => name === "D6");
    if (narrow) expect(blanks.find(({ name }) => name === "D6")!.acrossUm).toBe(narrow.box.maxX - narrow.box.minX + 130_000); // prettier-ignore
  });

  test("a roll too narrow is said with the number, and the rest is worked out", () => {
    const tight = structuredClone(input);
    tight.job.takeoff.fabric.rollWidthMm = 700;
    const { faults, hours, weights } = makeTakeoff(tight, assumedFacts(tight));
    expect(faults[0]).toMatchObject({ code: "blank-too-wide", got: "672 mm usable: 53 mm too narrow" });
    expect(hours.personH).toBeGreaterThan(0);
    expect(weights.length).toBeGreaterThan(0);
  });
});
