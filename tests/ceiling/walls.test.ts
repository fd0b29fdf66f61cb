import { describe, expect, it } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { rectangle, section } from "./sections.ts";

describe("walls", () => {
  it("face the compass as bearingDeg turns the plan, whichever way round the outline runs", () => {
    // +Y points to 29 degrees: the top wall faces 29, the right one 119, the bottom one 209, the left one 299.
    const walls = makeCeiling(section({ bearingDeg: 29, walls: ["south-west"] })).walls;
    expect(walls.map((w) => [w.name, w.facingDeg])).toEqual([
      ["south-west", 209],
      ["wall 2", 119],
      ["wall 3", 29],
      ["wall 4", 299],
    ]);
    const reversed = makeCeiling(
      section({ bearingDeg: 29, outlineMm: [...rectangle(4876.8, 3657.6)].reverse() }),
    ).walls;
    expect(reversed.map((w) => w.facingDeg)).toEqual([29, 119, 209, 299]);
  });

  it("in an L-shaped room face the way one looks at them", () => {
    const outlineMm: [number, number][] = [
      [0, 0],
      [1800, 0],
      [1800, 1200],
      [600, 1200],
      [600, 1800],
      [0, 1800],
    ];
    const { walls } = makeCeiling(section({ outlineMm, bearingDeg: -90 }));
    expect(walls.map((w) => w.facingDeg)).toEqual([90, 0, 270, 0, 270, 180]);
  });
});
