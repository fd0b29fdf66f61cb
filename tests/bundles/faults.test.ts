import { wordedIn } from "../../src/job/faults.ts";
import { describe, expect, test } from "vitest";
import { makeBundles } from "../../src/bundles/bundles.ts";
import { cluster, room, solver, type RoomSpec } from "./support.ts";

const bundle = (spec: RoomSpec) => makeBundles(room(spec), { solver });
const NEAR = { letter: "A", atMm: [0, 300] as [number, number] };

describe("bad input: the number that is over and by how much, and everything else still planned", () => {
  test("engine outside the building", () => {
    const { faults, strands } = bundle({
      bundles: { engines: [{ ...NEAR, atMm: [-4200, 300], reachM: 20 }] },
      holes: cluster(0, 0, 4),
    });
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatchObject({ code: "engine-outside", path: "bundles.engines[0].atMm" });
    expect(faults[0]!.got).toContain("3200 mm too far"); // 4200 mm out, 1000 mm allowed
    expect(strands).toHaveLength(4);
  });

  test("a building drawn larger takes the same engine without a word", () => {
    const buildingMm: [number, number][] = [[-5000, -100], [4000, -100], [4000, 3000], [-5000, 3000]]; // prettier-ignore
    const { faults } = bundle({
      bundles: { engines: [{ ...NEAR, atMm: [-4200, 300], reachM: 20 }], buildingMm },
      holes: cluster(0, 0, 4),
    });
    expect(faults).toEqual([]);
  });

  test("kit too small: by how many of which", () => {
    const kits = [{ engine: "A", strands: [{ diameterMm: 0.75, count: 7, lengthM: 5 }] }];
    const { faults, unlit, strands } = bundle({
      bundles: { engines: [NEAR], kits },
      holes: cluster(0, 0, 10),
    });
    expect(faults.map(({ code }) => code)).toEqual(["no-room"]);
    expect(faults[0]!.got).toBe("3 holes left dark: 3 of 0.75 mm more than the kits' 7");
    expect([unlit.length, strands.length]).toEqual([3, 7]);
    // The faintest stay dark: magnitudes run 0 to 6 in the cluster.
    const { pattern } = room({ bundles: {}, holes: cluster(0, 0, 10) });
    const magnitude = (id: number) => pattern.holes.find((h) => h.id === id)!.magnitude!;
    expect(Math.min(...unlit.map(({ hole }) => magnitude(hole)))).toBeGreaterThanOrEqual(
      Math.max(...strands.map(({ hole }) => magnitude(hole))),
    );
  });

  test("engine too small, port too small", () => {
    const holes = cluster(0, 0, 10);
    expect(bundle({ bundles: { engines: [{ ...NEAR, capacity: 6 }] }, holes }).faults[0]!.got).toContain(
      "4 strands more than the engines' 6",
    );
    // 10 x 0.75^2 = 5.6 mm2 against 0.75 x 2^2 = 3 mm2
    const { faults, strands } = bundle({ bundles: { engines: [{ ...NEAR, portDiameterMm: 2 }] }, holes });
    expect(faults[0]!.got).toContain("fill 188 %");
    expect(strands).toHaveLength(5);
  });

  test("enough strands, but not enough long ones", () => {
    const kits = [{ engine: "A", strands: [{ diameterMm: 0.75, count: 20, lengthM: 3 }, { diameterMm: 0.75, count: 2, lengthM: 6 }] }]; // prettier-ignore
    const { faults, strands } = bundle({
      bundles: { engines: [NEAR], kits },
      holes: [...cluster(0, 0, 5), ...cluster(4, 0, 5)],
    });
    expect(faults[0]!.got).toContain("3 of 0.75 mm and at least 6 m more than the kits have");
    expect(strands).toHaveLength(7);
  });

  test("reach too short: names tile, strands, need and what mends it", () => {
    const { faults, strands } = bundle({
      bundles: { engines: [{ ...NEAR, reachM: 3 }] },
      holes: [{ xMm: 300, yMm: 300 }, { xMm: 2700, yMm: 300 }], // prettier-ignore
    });
    // 2700 run + 300 drop + 600 slack + 200 ends = 3.8 m
    expect(faults).toHaveLength(1);
    expect(faults[0]!.code).toBe("too-short");
    expect(faults[0]!.expected).toBe("at least 3.80 m for 1 strand of tile D5, from engine A, the nearest");
    expect(faults[0]!.got).toContain("0.80 m too short");
    expect(faults[0]!.next).toContain("strands of 4 m");
    expect(strands.map(({ tile }) => tile)).toEqual(["D1"]);
  });

  test("tiles that are short of the same thing are told once, the farthest first", () => {
    const { faults } = bundle({
      bundles: { engines: [{ ...NEAR, reachM: 3 }] },
      holes: [{ xMm: 300, yMm: 300 }, { xMm: 2100, yMm: 300 }, { xMm: 2700, yMm: 300 }], // prettier-ignore
    });
    expect(faults).toHaveLength(1);
    expect(faults[0]!.expected).toMatch(
      /^at least 3\.80 m for tile D5, the farthest of 2 strands of tiles D5, D4,/,
    );
  });

  test("a diameter that no kit has; a tile that no way leads to", () => {
    const kits = [{ engine: "A", strands: [{ diameterMm: 0.75, count: 9, lengthM: 5 }] }];
    const odd = bundle({
      bundles: { engines: [NEAR], kits },
      holes: [...cluster(0, 0, 3), ...cluster(0, 0, 2, 1.5)],
    });
    expect(odd.faults[0]).toMatchObject({ code: "no-such-strand" });
    expect(odd.strands).toHaveLength(3);
    const wall = { polygonMm: [[1100, 0], [1150, 0], [1150, 2400], [1100, 2400]] as [number, number][] }; // prettier-ignore
    const shut = bundle({
      bundles: { engines: [NEAR], obstacles: [wall] },
      holes: [...cluster(0, 0, 3), ...cluster(4, 0, 2)],
    });
    expect(shut.faults[0]).toMatchObject({
      code: "no-way",
      got: expect.stringMatching(/^no way: obstacles or walls close it off for 2 strands of tile [A-Z]\d+$/),
    });
    expect(shut.strands).toHaveLength(3);
  });

  test("names that lead nowhere, letters twice, no engine at all", () => {
    const engines = [NEAR, { ...NEAR, atMm: [3000, 300] as [number, number] }];
    const kits = [{ engine: "Z", strands: [{ diameterMm: 0.75, count: 9, lengthM: 5 }] }];
    const { faults, strands } = bundle({
      bundles: { engines, kits, fixed: { D1: "Q", K9: "A" } },
      holes: cluster(0, 0, 3),
    });
    expect(faults.map(({ path }) => path)).toEqual(["bundles.engines[1].letter", "bundles.kits[0].engine", "bundles.fixed.D1", "bundles.fixed.K9"]); // prettier-ignore
    expect(strands).toHaveLength(3);
    const none = bundle({ bundles: {}, holes: cluster(0, 0, 3) });
    expect(none.faults.map(({ code }) => code)).toEqual(["no-engines"]);
    expect(none.strands).toEqual([]);
  });
});

describe("the void over the tiles (FACTS.liftMm and liftEasyMm: 75 mm at least, 100 to 150 comfortable)", () => {
  const codes = (voidMm: number | null, bundles: Partial<RoomSpec["bundles"]> = {}, diameterMm = 0.75) =>
    bundle({ ceiling: { voidMm }, bundles: { engines: [NEAR], riseM: 0.05, ...bundles }, holes: cluster(0, 0, 2, diameterMm) }).warnings.map(({ code }) => code); // prettier-ignore

  test("tiles that can't be lifted are said, and only those", () => {
    // one remark for all 5 x 4 tiles
    expect(codes(74).filter((c) => c === "tile-cannot-lift")).toHaveLength(1);
    expect(codes(75).filter((c) => c === "tile-lifts-hard")).toHaveLength(1);
    expect(codes(100)).toEqual([]);
    const duct = { polygonMm: [[700, 700], [1100, 700], [1100, 1100], [700, 1100]] as [number, number][], undersideMm: 60 }; // prettier-ignore
    expect(codes(300, { obstacles: [duct] })).toEqual(["tile-cannot-lift"]);
  });

  test("strands too thick to bend, runs too high, void not measured", () => {
    expect(codes(100, {}, 6)).toContain("bend-too-tight"); // 20 x 6 = 120 mm
    expect(codes(100, { riseM: 0.2 })).toContain("runs-too-high");
    expect(codes(null)).toEqual(["void-not-measured"]);
  });

  test("who measures in feet and inches reads no millimetres", () => {
    const { warnings } = bundle({ ceiling: { voidMm: 63.5 }, bundles: { engines: [NEAR], riseM: 0.1016 }, holes: cluster(0, 0, 2) }); // prettier-ignore
    const told = wordedIn("ft-in", warnings).map(({ message }) => message);
    // 25.4 mm to the inch (agreement of 1959): 63.5 mm = 2 1/2 in, 75 mm to the nearest sixteenth, 102 mm = 4 in
    expect(told[0]).toBe('Runs 4" above the tiles do not fit a void of 2 1/2".');
    expect(told[1]).toContain('3" are needed above a tile; there are 2 1/2" above ');
    expect(told.join()).not.toContain("mm");
    expect(wordedIn("mm", warnings)[1]!.message).toContain("75 mm are needed");
  });
});

test("where every way leads over a plain tile, the run goes there and is told of", () => {
  const tiles = { A3: { use: "plain" as const }, B3: { use: "plain" as const }, C3: { use: "plain" as const }, D3: { use: "plain" as const } }; // prettier-ignore
  const holes = [...cluster(0, 0, 2), ...cluster(4, 0, 2)];
  const { warnings, strands } = bundle({ ceiling: { tiles }, bundles: { engines: [NEAR] }, holes });
  expect(strands).toHaveLength(4);
  expect(warnings.map(({ message }) => message).join()).toContain(
    "No way round plain tiles, hatches and diffusers for A-D5:",
  );
});
