import { describe, expect, it } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { borderWalls, fromWalls, fromWallsWords, placeFromWalls } from "../../src/ceiling/fromWalls.ts";
import type { PointMm } from "../../src/geometry/types.ts";
import { rectangle, section } from "./sections.ts";

// A room of 4 x 3 m drawn by hand: south wall along y = 0, then east, north, west.
const ceiling = makeCeiling(
  section({ outlineMm: rectangle(3962.4, 3000), walls: ["south", "east", "north", "west"] }),
);
const { walls } = ceiling;

it("a place in the room is told from the two walls nearest to it", () => {
  expect(fromWalls(walls, [1000, 2800])).toEqual([
    { wall: "west", mm: 1000, behind: false, pastMm: 0, index: 3 },
    { wall: "north", mm: 200, behind: false, pastMm: 0, index: 2 },
  ]);
  expect(fromWallsWords(walls, [1000, 2800], "mm")).toBe("1000 mm from west, 200 mm from north");
});

it("an engine behind a wall is told along that wall too, or nobody could find it", () => {
  expect(fromWalls(walls, [-150, 800])).toEqual([
    { wall: "west", mm: 150, behind: true, pastMm: 0, index: 3 },
    { wall: "south", mm: 800, behind: false, pastMm: 150, index: 0 },
  ]);
  expect(fromWallsWords(walls, [-152.4, 914.4], "ft-in")).toBe(
    `6" behind west, 3' 0" from the line of south`,
  );
});

it("the border tiles are told by the wall that they lie at", () => {
  expect(borderWalls(ceiling)).toEqual({ left: "west", right: "east", bottom: "south", top: "north" });
});

describe("a distance that is typed", () => {
  const to = (place: PointMm, which: number, mm: number) =>
    placeFromWalls(walls, place, fromWalls(walls, place), which, mm);

  it("moves the place square to its wall, and leaves the other distance", () => {
    expect(to([1000, 2800], 0, 1200)).toEqual([1200, 2800]);
    expect(to([1000, 2800], 1, 700)).toEqual([1000, 2300]);
    expect(to([3800, 2800], 0, 62.4)).toEqual([3900, 2800]);
  });

  it("keeps to its side of the wall: behind goes farther back, less than nothing comes through", () => {
    expect(to([-150, 800], 0, 250)).toEqual([-250, 800]);
    expect(to([-150, 800], 0, -50)).toEqual([50, 800]);
    expect(to([1000, 2800], 1, -30)).toEqual([1000, 3030]);
  });

  it("beside a slanting wall both distances are what was typed and what was there", () => {
    // a wall at 45° across the upper right corner, as drawn with a set square
    const cut = makeCeiling(
      section({ outlineMm: [[0, 0], [4000, 0], [4000, 2000], [3000, 3000], [0, 3000]], walls: ["a", "b", "slant", "d", "e"] }), // prettier-ignore
    ).walls;
    const place: PointMm = [3300, 2500];
    const told = fromWalls(cut, place);
    const slant = told.findIndex(({ wall }) => wall === "slant");
    expect(slant).toBeGreaterThanOrEqual(0);
    const moved = placeFromWalls(cut, place, told, slant, 300);
    // from the lines x + y = 6000 and the other wall's own, by the school formula
    expect((6000 - moved[0] - moved[1]) / Math.SQRT2).toBeCloseTo(300, 2);
    const other = told[1 - slant]!;
    const again = fromWalls(cut, moved, told.map(({ index }) => index)).find(({ index }) => index === other.index)!; // prettier-ignore
    expect(again.mm).toBeCloseTo(other.mm, 2);
  });
});
