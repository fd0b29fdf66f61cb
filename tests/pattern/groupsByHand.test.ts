import { expect, test } from "vitest";
import { ruleFaults } from "../../src/job/rules.ts";
import { jobSchema } from "../../src/job/schema.ts";
import { sampleJob } from "../job/sample.ts";
import { settle } from "./synthetic.ts";

const stars = [
  { hip: 1, xMm: 300, yMm: 300, magnitude: 1 },
  { hip: 2, xMm: 400, yMm: 300, magnitude: 2 },
  { hip: 3, xMm: 800, yMm: 300, magnitude: 3 },
];

test("a hole put or pinned by hand may state its strands, and nothing larger than stock and fabric allow is made", () => {
  const p = settle({
    stars,
    pattern: {
      byHand: [
        { do: "add", atMm: [200, 500], diameterMm: 0.75, strands: 3 },
        { do: "pin", night: "a", what: 3, atMm: [810, 300], diameterMm: 1, strands: 2 },
        { do: "add", atMm: [300, 500], diameterMm: 2, strands: 7 },
        { do: "add", atMm: [400, 500], diameterMm: 1, strands: 7 },
      ],
    },
    strands: {
      stock: [{ diameterMm: 0.75, count: 12 }, { diameterMm: 1, count: 6 }, { diameterMm: 2, count: 7 }], // prettier-ignore
      largestHoleMm: 4,
      mostPerHole: 7,
    },
  });
  expect(p.holes.find((h) => h.xMm === 200)).toMatchObject({ diameterMm: 0.75, strands: 3, byHand: true });
  expect(p.holes.find((h) => h.star === 3)).toMatchObject({ diameterMm: 1, strands: 2, xMm: 810 });
  const stated = p.holes.filter((h) => h.xMm === 200 || h.star === 3).map((h) => h.id);
  expect([...p.stated].sort((a, b) => a - b)).toEqual(stated);
  // Seven circles take one of three times their diameter (Kravitz 1967).
  expect(p.byHand[2]!.why).toBe(
    "7 strands of 2 mm need a hole of 6 mm, and the largest allowed is 4 mm (strands.largestHoleMm)",
  );
  expect(p.byHand[3]!.why).toBe("7 strands of 1 mm are asked for and 4 are left in stock");
  const used = p.holes.reduce((sum, h) => sum + h.strands, 0);
  expect(used + p.spare.reduce((sum, { count }) => sum + count, 0)).toBe(25);
});

test("strands of no diameter are a fault with its place", () => {
  const job = jobSchema.parse(sampleJob());
  job.pattern.byHand = [{ do: "add", atMm: [300, 300], name: "", strands: 3 }];
  expect(ruleFaults(job)).toMatchObject([
    {
      path: "pattern.byHand[0].strands",
      expected: "a diameterMm beside it",
      got: "3 strands of no diameter",
    },
  ]);
});

test("pins beyond the ladder's end take strands from filler, never more than there are", () => {
  const many = Array.from({ length: 40 }, (_, i) => ({
    hip: i + 1,
    xMm: 100 + (i % 8) * 50,
    yMm: 100 + Math.floor(i / 8) * 50,
    magnitude: i / 8,
  }));
  const p = settle({
    stars: many,
    pattern: {
      deeperShare: 0.5,
      faintestMagnitude: 1,
      byHand: many
        .slice(10)
        .map(({ hip, xMm, yMm }) => ({ do: "pin", night: "a", what: hip, atMm: [xMm, yMm] })),
    },
    strands: { stock: [{ diameterMm: 0.75, count: 34 }], mostPerHole: 7 },
  });
  expect(p.holes.reduce((sum, h) => sum + h.strands, 0)).toBeLessThanOrEqual(34);
  expect(p.holes.filter((h) => h.byHand).length).toBe(30);
});
