import { expect, it } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { fromWalls } from "../../src/sheets/fromWalls.ts";
import { rectangle, section } from "../ceiling/sections.ts";

// A room of 4 x 3 m drawn by hand: south wall along y = 0, then east, north, west.
const plan = {
  ceiling: makeCeiling(
    section({ outlineMm: rectangle(3962.4, 3000), walls: ["south", "east", "north", "west"] }),
  ),
};

it("a place in the room is told from the two walls nearest to it", () => {
  expect(fromWalls(plan, [1000, 2800])).toEqual([
    { wall: "west", mm: 1000, behind: false, pastMm: 0 },
    { wall: "north", mm: 200, behind: false, pastMm: 0 },
  ]);
});

it("an engine behind a wall is told along that wall too, or nobody could find it", () => {
  expect(fromWalls(plan, [-150, 800])).toEqual([
    { wall: "west", mm: 150, behind: true, pastMm: 0 },
    { wall: "south", mm: 800, behind: false, pastMm: 150 },
  ]);
});
