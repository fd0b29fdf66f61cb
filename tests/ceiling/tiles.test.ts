import { describe, expect, it } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { rowLetters } from "../../src/ceiling/names.ts";
import { SLIVER_MM } from "../../src/ceiling/tiles.ts";
import { rectangle, section } from "./sections.ts";

const sizes = (box: { minX: number; minY: number; maxX: number; maxY: number }) => [
  (box.maxX - box.minX) / 1000,
  (box.maxY - box.minY) / 1000,
];

describe("tiles", () => {
  it("are lettered from the top of the plan and numbered from the left (DEVELOPERS.md, Conventions)", () => {
    const { tiles } = makeCeiling(section());
    expect(tiles).toHaveLength(48);
    expect(tiles[0]!.name).toBe("A1");
    expect(tiles[0]!.box).toEqual({ minX: 3_175, minY: 3_051_175, maxX: 606_425, maxY: 3_654_425 });
    expect(tiles[47]!.name).toBe("F8");
    expect(tiles[47]!.box).toEqual({ minX: 4_270_375, minY: 3_175, maxX: 4_873_625, maxY: 606_425 });
    expect(tiles.every((tile) => !tile.cut)).toBe(true);
    expect(new Set(tiles.map((tile) => tile.name)).size).toBe(48);
  });

  it("go on after Z as AA", () => {
    expect([0, 25, 26, 27, 51, 52, 701, 702].map(rowLetters)).toEqual([
      "A",
      "Z",
      "AA",
      "AB",
      "AZ",
      "BA",
      "ZZ",
      "AAA",
    ]);
  });

  it("are cut at the walls, half the slack off at tees and walls alike", () => {
    // 5000 under 600: borders 400, less 5 mm slack.
    const { tiles } = makeCeiling(
      section({ outlineMm: rectangle(5000, 3000), grid: { moduleMm: [600, 600] } }),
    );
    const a1 = tiles.find((tile) => tile.name === "A1")!;
    const c2 = tiles.find((tile) => tile.name === "C2")!;
    expect(sizes(a1.box)).toEqual([395, 595]);
    expect(a1.cut).toBe(true);
    expect(a1.box.minX).toBe(2_500);
    expect(sizes(c2.box)).toEqual([595, 595]);
    expect(c2.cut).toBe(false);
    expect(tiles.filter((tile) => tile.cut)).toHaveLength(10);
  });

  it("take a measured tile that isn't square to its slack", () => {
    const { tiles } = makeCeiling(
      section({ outlineMm: rectangle(1800, 1800), grid: { moduleMm: [600, 600], tileMm: [594, 592] } }),
    );
    expect(tiles.map((tile) => sizes(tile.box))).toEqual(Array(9).fill([594, 592]));
    expect(tiles[4]!.box).toEqual({ minX: 603_000, minY: 604_000, maxX: 1_197_000, maxY: 1_196_000 });
  });

  it("follow an L-shaped room, numbered over the whole of it", () => {
    // 3 x 3 modules without the upper right 2 x 1.
    const outlineMm: [number, number][] = [
      [0, 0],
      [1800, 0],
      [1800, 1200],
      [600, 1200],
      [600, 1800],
      [0, 1800],
    ];
    const { tiles } = makeCeiling(section({ outlineMm, grid: { moduleMm: [600, 600] } }));
    expect(tiles.map((tile) => tile.name)).toEqual(["A1", "B1", "B2", "B3", "C1", "C2", "C3"]);
  });

  it("are the same whichever way round the outline was walked", () => {
    const clockwise = makeCeiling(section({ outlineMm: [...rectangle(4876.8, 3657.6)].reverse() }));
    expect(clockwise.tiles).toEqual(makeCeiling(section()).tiles);
  });

  it("are cut aslant by a slanted wall", () => {
    // Wall from (1800, 0) to (600, 1200): 45 degrees.
    const outlineMm: [number, number][] = [
      [0, 0],
      [1800, 0],
      [600, 1200],
      [0, 1200],
    ];
    const { tiles } = makeCeiling(section({ outlineMm, grid: { moduleMm: [600, 600], tileMm: [600, 600] } }));
    const area = (name: string) => {
      const ring = tiles.find((tile) => tile.name === name)!.outline[0]!;
      return (
        ring.reduce(
          (sum, p, i) => sum + p.x * ring[(i + 1) % ring.length]!.y - p.y * ring[(i + 1) % ring.length]!.x,
          0,
        ) / 2e6
      );
    };
    expect(tiles.map((tile) => tile.name)).toEqual(["A1", "A2", "B1", "B2", "B3"]);
    expect(area("A2")).toBeCloseTo(180_000, 0);
    expect(area("B3")).toBeCloseTo(180_000, 0);
    expect(area("B2")).toBeCloseTo(360_000, 0);
  });

  it("are two where a wall splits a cell: A1 and A1-2", () => {
    // A pier 100 wide comes down from the top wall through the upper middle cell and beyond.
    const outlineMm: [number, number][] = [
      [0, 0],
      [1800, 0],
      [1800, 1200],
      [950, 1200],
      [950, 500],
      [850, 500],
      [850, 1200],
      [0, 1200],
    ];
    const { tiles } = makeCeiling(section({ outlineMm, grid: { moduleMm: [600, 600], originMm: [0, 0] } }));
    expect(tiles.map((tile) => tile.name)).toEqual(["A1", "A2", "A2-2", "A3", "B1", "B2", "B3"]);
    const [first, second] = tiles.filter((tile) => tile.name.startsWith("A2"));
    expect(first!.box.maxX).toBe(847_500);
    expect(second!.box.minX).toBe(952_500);
    expect(tiles.find((tile) => tile.name === "B2")!.cut).toBe(true);
  });

  it("leave out slivers and number what is left", () => {
    const at = (originX: number) =>
      makeCeiling(
        section({ outlineMm: rectangle(1800, 1200), grid: { moduleMm: [600, 600], originMm: [originX, 0] } }),
      );
    // First column 44 mm of module, 39 of tile: nothing but edge.
    const thin = at(SLIVER_MM + 4);
    expect(thin.slivers).toHaveLength(2);
    expect(thin.tiles.map((tile) => tile.name)).toEqual(["A1", "A2", "A3", "B1", "B2", "B3"]);
    expect(thin.tiles[0]!.box.minX).toBe(46_500);
    // One more millimetre, and it's a tile, though no hole fits in it.
    const enough = at(SLIVER_MM + 5);
    expect(enough.slivers).toEqual([]);
    expect(enough.tiles).toHaveLength(8);
    expect(enough.tiles[0]!.usable).toEqual([]);
  });

  it("keep the job's zero point where the outline starts elsewhere", () => {
    const shift = ([x, y]: [number, number]): [number, number] => [x - 1000, y + 250];
    const here = makeCeiling(section());
    const there = makeCeiling(section({ outlineMm: rectangle(4876.8, 3657.6).map(shift) }));
    expect(there.tiles.map((tile) => tile.name)).toEqual(here.tiles.map((tile) => tile.name));
    expect(there.tiles[0]!.box.minX).toBe(here.tiles[0]!.box.minX - 1_000_000);
    expect(there.tiles[0]!.box.minY).toBe(here.tiles[0]!.box.minY + 250_000);
    expect(there.usableMm2).toBeCloseTo(here.usableMm2, 6);
  });

  it("take the use that the job gives them", () => {
    const { tiles } = makeCeiling(
      section({ tiles: { C4: { use: "plain", why: "hatch" }, D5: { use: "fabric" } } }),
    );
    const c4 = tiles.find((tile) => tile.name === "C4")!;
    expect(c4).toMatchObject({ use: "plain", why: "hatch", usable: [], usableMm2: 0 });
    expect(tiles.find((tile) => tile.name === "D5")).toMatchObject({ use: "fabric", usable: [] });
    expect(tiles.filter((tile) => tile.usable.length)).toHaveLength(46);
  });
});
