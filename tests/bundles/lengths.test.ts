import { describe, expect, test } from "vitest";
import { makeBundles } from "../../src/bundles/bundles.ts";
import { cluster, room, solver } from "./support.ts";

describe("strand lengths, worked by hand", () => {
  // Engine in the corner (0, 0), port 800 mm above the floor; ceiling at 2700, runs 0.3 m above it.
  const engine = { letter: "A", atMm: [0, 0] as [number, number], heightMm: 800, reachM: 12 };
  // Cell in column 2, row 1: its middle is (1500, 900). One hole there, one 300 mm right of it and 400... mm up.
  const holes = [
    { xMm: 1500, yMm: 900 },
    { xMm: 1740, yMm: 1080 },
  ];

  test("rise + run + drop + slack + fan + both ends", () => {
    const { strands, tails, engines } = makeBundles(room({ bundles: { engines: [engine] }, holes }), {
      solver,
    });
    // 2700 + 300 - 800 = 2200 rise; 1500 + 900 = 2400 run; 300 drop; 600 slack; 2 x 100 ends = 5700.
    expect(strands.map(({ needM }) => needM)).toEqual([5.7, 6.0]); // fan: sqrt(240^2 + 180^2) = 300
    expect(strands.map(({ lengthM }) => lengthM)).toEqual([6, 6]);
    expect(tails[0]!.routeM).toBe(2.4);
    expect(engines[0]!.longestM).toBe(6);
    expect(engines[0]!.runM).toBe(2.4);
    expect(engines[0]!.supports).toBe(2); // 2.4 m, one every 1.2 m
  });

  test("a millimetre more needs the next length: always rounded up", () => {
    const further = [{ xMm: 1500, yMm: 900 }, { xMm: 1741, yMm: 1080 }]; // prettier-ignore
    const { strands } = makeBundles(room({ bundles: { engines: [engine] }, holes: further }), { solver });
    expect(strands[1]!.needM).toBeGreaterThan(6);
    expect(strands.map(({ lengthM }) => lengthM)).toEqual([6, 8]);
  });

  test("an engine at the height of the runs needs no rise", () => {
    const { strands } = makeBundles(room({ bundles: { engines: [{ ...engine, heightMm: null }] }, holes }), {
      solver,
    });
    expect(strands[0]!.needM).toBe(3.5);
  });

  test("bend radius is 20 x the thickest strand (FACTS.bendFactor: 0.75 -> 15, 1.0 -> 20, 1.5 -> 30, 3.0 -> 60 mm)", () => {
    for (const [diameterMm, radius] of [
      [0.75, 15],
      [1, 20],
      [1.5, 30],
      [3, 60],
    ] as const) {
      // prettier-ignore
      const { tails } = makeBundles(room({ bundles: { engines: [engine] }, holes: [{ ...holes[0]!, diameterMm }] }), { solver });
      expect(tails[0]!.bendRadiusMm).toBe(radius);
    }
  });

  test("kits: long strands go to long needs, short ones to short needs", () => {
    const kits = [{ engine: "A", strands: [{ diameterMm: 0.75, count: 3, lengthM: 4 }, { diameterMm: 0.75, count: 3, lengthM: 7 }] }]; // prettier-ignore
    const spread = [...cluster(0, 0, 2), ...cluster(4, 3, 3)];
    const { strands, unlit } = makeBundles(room({ bundles: { engines: [{ ...engine, heightMm: null }], kits }, holes: spread }), { solver }); // prettier-ignore
    expect(unlit).toEqual([]);
    const byNeed = [...strands].sort((a, b) => a.needM - b.needM);
    for (let i = 1; i < byNeed.length; i++)
      expect(byNeed[i]!.lengthM).toBeGreaterThanOrEqual(byNeed[i - 1]!.lengthM);
  });
});
