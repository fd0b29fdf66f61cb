import { describe, expect, test } from "vitest";
import { DarkTester } from "../../src/photo/darkTest.ts";
import { darkTestInput } from "../../src/photo/input.ts";
import { photograph, pixelsOf, type Exposure, type Pose } from "./darkroom.ts";
import { demoPlan } from "./demo.ts";
import { hangBadly, type BoxMm } from "./swapped.ts";
import { visible } from "./truth.ts";

const { plan, holes, input } = await demoPlan();
const boxOf = (name: string): BoxMm => {
  const { minX, minY, maxX, maxY } = plan.ceiling.tiles.find((t) => t.name === name)!.box;
  return { minX: minX / 1000, minY: minY / 1000, maxX: maxX / 1000, maxY: maxY / 1000 };
};
const POSE: Pose = {
  targetMm: [2400, 1900],
  distanceMm: 2600,
  tiltDeg: 25,
  leanDeg: 80,
  rollDeg: 200,
  focalPx: 1150,
  k1: -0.08,
  widthPx: 2000,
  heightPx: 1500,
};
const SMALL: Pose = { ...POSE, focalPx: 690, widthPx: 1200, heightPx: 900 };
const tester = () => new DarkTester(input);
const taken = async (jpeg: Buffer, name = "x.jpg") => ({
  name,
  channels: 3 as const,
  ...(await pixelsOf(jpeg)),
});

describe("a dark test by photograph", () => {
  const [one, two, three] = ["B5", "D6", "F2"].map((tile) => holes.find((h) => h.tile === tile)!.id);
  const dead = [one!, two!, three!];
  const dark = new Set(holes.filter((h) => h.tile === "B3").map((h) => h.id));

  test("three dead strands, two tiles exchanged, one turned, one dark: exactly these", async () => {
    const hung = hangBadly(holes, 5, {
      dead,
      dark,
      exchanged: [[boxOf("D4"), boxOf("E6")]],
      turned: [[boxOf("C6"), 1]],
    });
    const strays = [{ xPx: 1700, yPx: 230, light: 2, sigmaPx: 10 }];
    const test = tester();
    // a tail per tile and one engine for a row, as bundles would say
    input.tailOf = (id) => {
      const { tile } = holes[id - 1]!;
      return { name: `A-${tile}`, engine: "A", tile };
    };
    test.add(await taken(await photograph(hung.dots, strays, POSE, { seed: 3 })), null);
    const told = test.result();
    expect(
      told.tiles.map(({ tile, kind, showsTile, turnedDeg }) => [tile, kind, showsTile, turnedDeg]),
    ).toEqual([
      // a quarter counter-clockwise on the plan is a quarter clockwise looking up
      ["C6", "turned", "C6", 270],
      ["D4", "exchanged", "E6", 0],
      ["E6", "exchanged", "D4", 0],
    ]);
    expect(told.dark.map((d) => [d.kind, d.name])).toEqual([["tail", "A-B3"]]);
    const called = told.holes.filter((h) => h.verdict === "dead").map((h) => h.hole);
    const seen = new Set(visible(holes, POSE, 20).map((h) => h.id));
    expect(called).toEqual([...dark, ...dead].filter((id) => seen.has(id)).sort((a, b) => a - b));
    expect(told.strays.some((s) => Math.hypot(s.xPx - 1700, s.yPx - 230) < 4)).toBe(true);
  });

  test("what one picture does not show, another does", async () => {
    const hung = hangBadly(holes, 6, { dead, exchanged: [[boxOf("D4"), boxOf("E6")]] });
    const both = tester();
    const left = { ...POSE, targetMm: [1300, 1800] as [number, number], distanceMm: 1900 };
    const right = { ...POSE, targetMm: [3600, 1800] as [number, number], distanceMm: 1900, rollDeg: 30 };
    both.add(await taken(await photograph(hung.dots, [], left, { seed: 1 })), null);
    const alone = both.result().counts["not in the picture"];
    both.add(await taken(await photograph(hung.dots, [], right, { seed: 2 })), null);
    const told = both.result();
    expect(told.counts["not in the picture"]).toBeLessThan(alone);
    expect(told.holes.filter((h) => h.verdict === "dead").every((h) => dead.includes(h.hole))).toBe(true);
    // of a tile that hangs wrong the one picture shows too little to know, the other tells
    expect(told.tiles.map(({ tile, showsTile }) => [tile, showsTile])).toEqual([["D4", "E6"], ["E6", "D4"]]); // prettier-ignore
    expect(told.strays.filter(({ tile }) => tile === "D4" || tile === "E6")).toEqual([]);
  });

  const ways: [string, Partial<Exposure>][] = [
    ["with the engine on", { atMm: 1000 }],
    // light falls through every hole alike, whichever way it is seen
    ["against a window", { atMm: 1000, coneCosine: 0, scatter: 1, blurPx: 2, glow: 0, window: { cornersMm: [], light: 0.8, veil: 0.03 } }], // prettier-ignore
    ["against a bright sky, half blinded", { atMm: 1000, coneCosine: 0, scatter: 1, blurPx: 2.6, glow: 0, gain: 1.2, moffat: true, window: { cornersMm: [], light: 3, veil: 0.03 } }], // prettier-ignore
  ];
  test.each(ways)(
    "one tile %s: holes to half a millimetre, the missing one, the wrong side, another tile",
    async (_, how) => {
      const own = holes.filter((h) => h.tile === "D6");
      const { minX, minY, maxX, maxY } = boxOf("D6");
      const [missing, off] = [own[3]!, own[10]!];
      const dots = own.flatMap((h) =>
        h === missing ? [] : [{ xMm: h.xMm + (h === off ? 1.8 : 0), yMm: h.yMm, light: 2 }],
      );
      const pose: Pose = {
        ...POSE,
        targetMm: [(minX + maxX) / 2, (minY + maxY) / 2],
        distanceMm: 1000,
        focalPx: 1900,
      };
      const cornersMm: [number, number][] = [[minX, minY], [maxX, minY], [maxX, maxY], [minX, maxY]]; // prettier-ignore
      const exposure = how.window ? { ...how, window: { ...how.window, cornersMm } } : how;
      const picture = await taken(await photograph(dots, [], pose, exposure));
      const look = (side: "face" | "back", tile: string) => {
        const bench = new DarkTester(darkTestInput(plan, null, { side, tile }));
        return { report: bench.add(picture, null), told: bench.result().holes };
      };
      const { told } = look("face", "D6");
      expect(told.find((h) => h.hole === missing.id)!.verdict).toBe("dead");
      const moved = told.find((h) => h.hole === off.id)!;
      expect(moved.verdict).toBe("displaced");
      expect(Math.hypot(moved.dxMm! - 1.8, moved.dyMm!)).toBeLessThan(0.5);
      expect(told.filter((h) => h.verdict === "displaced" || h.verdict === "dead")).toHaveLength(2);
      expect(look("back", "D6").report.words).toMatch(/mirror/);
      expect(look("face", "D5").report.placing).toBeNull();
    },
  );

  const { dots } = hangBadly(holes, 5, {});
  const mirrored = dots.map((d) => ({ ...d, xMm: 4800 - d.xMm }));
  test.each([
    ["a mirror image", /mirror/, () => photograph(mirrored, [], SMALL)],
    ["a black picture", /black|Only/, () => photograph([], [], SMALL, { glow: 0 })],
    ["a bright room", /too bright/, () => photograph(dots, [], SMALL, { glow: 0.9 })],
    [
      "a moved phone",
      /streaks/,
      () =>
        photograph(
          dots.filter((_, i) => i % 4 === 0),
          [],
          SMALL,
          { smear: [30, 45], gain: 8 },
        ),
    ],
  ])("%s is named so, with what to do, and never taken", async (_, words, take) => {
    const report = tester().add(await taken(await take()), null);
    expect(report.placing).toBeNull();
    expect(report.words).toMatch(words);
    expect(report.next).not.toBe("");
  });
});
