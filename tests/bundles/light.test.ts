import { describe, expect, test } from "vitest";
import { makeBundles } from "../../src/bundles/bundles.ts";
import { bundlePlan, compensated } from "../../src/bundles/compensate.ts";
import { lossMag } from "../../src/bundles/strands.ts";
import { portUse, supplyOf } from "../../src/bundles/supply.ts";
import type { Figure } from "../../src/sky/types.ts";
import type { Planned } from "../../src/plan.ts";
import { cluster, room, solver } from "./support.ts";

describe("decibels, magnitudes and ports, worked out by hand", () => {
  test("light left at 0.2 dB/m: 2 m 91 %, 5 m 79 %, 8 m 69 %, 10 m 63 %, 15 m 50 %", () => {
    for (const [metres, percent] of [
      [2, 91],
      [5, 79],
      [8, 69],
      [10, 63],
      [15, 50],
    ] as const)
      // prettier-ignore
      expect(Math.round(100 * 10 ** (-0.4 * lossMag(metres, 0.2)))).toBe(percent);
  });

  test("in magnitudes: 5 m 0.25, 8 m 0.40, 10 m 0.50, 15 m 0.75; 4 dB are 1 mag", () => {
    expect([5, 8, 10, 15].map((m) => lossMag(m, 0.2))).toEqual([0.25, 0.4, 0.5, 0.75]);
    expect(lossMag(1, 4)).toBe(1);
  });

  test("light left at 0.35 dB/m: 5 m 67 %, 10 m 45 %", () => {
    expect([5, 10].map((m) => Math.round(100 * 10 ** (-0.4 * lossMag(m, 0.35))))).toEqual([67, 45]);
  });

  // N = 0.75 (D/d)^2, rounded to 5 or 10: 20 mm 1200/530/300/130, 30 mm 2700/1200/675/300.
  test.each([
    [20, 0.5, 1200],
    [20, 0.75, 533],
    [20, 1, 300],
    [20, 1.5, 133],
    [30, 0.5, 2700],
    [30, 0.75, 1200],
    [30, 1, 675],
    [30, 1.5, 300],
  ])("a port of %d mm takes strands of %d mm: %d", (portDiameterMm, diameterMm, count) => {
    // prettier-ignore
    const { job } = room({ bundles: { engines: [{ letter: "A", atMm: [0, 0], portDiameterMm }] }, holes: [] });
    const { port } = supplyOf(job.bundles.engines[0]!, job.bundles, [diameterMm]);
    expect(Math.floor(port / portUse(diameterMm))).toBe(count);
  });
});

const figure: Figure = { abbreviation: "Tst", name: "The Test", lines: [[11, 12, 13]] };
const threeStars = [
  { xMm: 300, yMm: 300, star: 11, magnitude: 1 },
  { xMm: 1500, yMm: 300, star: 12, magnitude: 1.02 },
  { xMm: 2700, yMm: 300, star: 13, magnitude: 1.04 },
];

describe("unequal lengths", () => {
  const bundles = { engines: [{ letter: "A", atMm: [0, 300] as [number, number] }], cutLengthsM: [2, 3, 4] };

  test("a figure that loses 0.25 mag more at one end is named; at 0.2 it is not", () => {
    const input = room({ bundles, holes: threeStars });
    expect(makeBundles(input, { solver, figures: [figure] }).strands.map(({ lengthM }) => lengthM)).toEqual([
      2, 3, 4,
    ]);
    input.job.strands.lossDbPerM = 0.4; // 2 m more at 0.1 mag a metre
    const shown = makeBundles(input, { solver, figures: [figure] }).warnings.filter(({ code }) => code === "figure-loses-unevenly"); // prettier-ignore
    expect(shown).toEqual([]);
    input.job.strands.lossDbPerM = 0.5; // 0.25 mag
    const [warning] = makeBundles(input, { solver, figures: [figure] }).warnings;
    expect(warning!.message).toContain("The Test: strands of 2 m to 4 m");
    expect(warning!.message).toContain("0.25 magnitude");
    // 2 m is 6.56 ft, 4 m is 13.12 ft
    expect(warning!.inFeet!.message).toContain(`strands of 6' 7" to 13' 1"`);
  });

  test("neighbours more than 4 m apart in length are told of (FACTS.colourDriftM)", () => {
    const far = { engines: [{ letter: "A", atMm: [300, 300] as [number, number] }, { letter: "B", atMm: [2900, 2300] as [number, number], reachM: 20 }], fixed: { D2: "B" }, cutLengthsM: [2, 12] }; // prettier-ignore
    const { warnings } = makeBundles(room({ bundles: far, holes: [...cluster(0, 0, 2), ...cluster(1, 0, 2)] }), { solver }); // prettier-ignore
    expect(warnings.map(({ code }) => code)).toContain("colour-drift");
  });
});

describe("compensation", () => {
  const holes = [
    { xMm: 300, yMm: 300, star: 11, magnitude: 3, diameterMm: 1 },
    { xMm: 2700, yMm: 300, star: 12, magnitude: 3.05, diameterMm: 0.75 },
    { xMm: 320, yMm: 400, star: null, magnitude: null, kind: "filler" as const },
  ];
  const bundles = { engines: [{ letter: "A", atMm: [0, 300] as [number, number] }], cutLengthsM: [2, 4] };

  test("gives the thicker strand to the star that needs more light at the engine, within the same strands", () => {
    const input = room({ bundles, holes });
    const made = makeBundles(input, { solver });
    // Losses 0.1 and 0.2 mag at 0.2 dB/m: needed 2.9 and 2.85, so the farther star takes the 1 mm strand.
    const changed = compensated(input.pattern.holes, made, 1);
    const byStar = new Map(changed.map((hole) => [hole.star, hole.diameterMm]));
    expect([byStar.get(11), byStar.get(12)]).toEqual([0.75, 1]);
    const bag = (list: { diameterMm: number }[]) => list.map((h) => h.diameterMm).sort();
    expect(bag(changed)).toEqual(bag(input.pattern.holes));
    expect(byStar.get(null)).toBe(0.75);
  });

  test("leaves strands that a person stated", () => {
    const asked = room({ bundles: { ...bundles, compensateLength: true }, holes }) as unknown as Planned;
    const first = asked.pattern.holes.find((h) => h.star === 11)!;
    const stated = { ...asked, pattern: { ...asked.pattern, stated: [first.id] } };
    const { plan } = bundlePlan(stated, { solver });
    expect(plan.pattern.holes).toEqual(asked.pattern.holes);
  });

  test("is asked for or does not happen, and says how it bends the rule", () => {
    const plain = room({ bundles, holes }) as unknown as Planned;
    expect(bundlePlan(plain, { solver }).plan).toBe(plain);
    const asked = room({ bundles: { ...bundles, compensateLength: true }, holes }) as unknown as Planned;
    const { plan, bundles: made } = bundlePlan(asked, { solver });
    expect(plan.pattern.holes.find((h) => h.star === 12)!.diameterMm).toBe(1);
    expect(made.warnings.find(({ code }) => code === "length-compensated")!.message).toContain(
      "fainter star",
    );
  });
});

describe("twinkle is spread by chance, never by tile", () => {
  const holes = [...cluster(0, 0, 60), ...cluster(1, 0, 60), { xMm: 300, yMm: 320, kind: "moon" as const, magnitude: -10 }]; // prettier-ignore
  const engines = [{ letter: "A", atMm: [0, 300] as [number, number] }];

  test("a hole dropped on one tile leaves the other's channels and angles as they were", () => {
    for (const kind of ["channels", "wheel"] as const) {
      const told = (some: typeof holes) =>
        makeBundles(room({ bundles: { engines, twinkle: { kind } }, holes: some }), { solver })
          .strands.filter(({ tile }) => tile === "D2")
          .map(({ channel, wheelDeg }) => `${channel} ${wheelDeg}`);
      expect(new Set(told(holes)).size).toBeGreaterThan(1);
      expect(told(holes.slice(1))).toEqual(told(holes));
    }
  });

  test("jobs until version 7 deal among all holes of the engine, as they did", () => {
    const twinkle = { kind: "channels" as const, dealt: "engine" as const };
    const { strands } = makeBundles(room({ bundles: { engines, twinkle }, holes }), { solver });
    // frozen: what version 7 printed
    expect(strands.map(({ channel }) => channel).join("")).toBe(
      "1221214441423142412344111414442133431332411322233333432241141234113444414423123213143433422332433212322111234321142212213",
    );
  });

  test("channels: equal numbers on the engine, all of them on every tile, the Moon on the steady one", () => {
    const input = room({ bundles: { engines, twinkle: { kind: "channels", channels: 4 } }, holes });
    const { strands } = makeBundles(input, { solver });
    const counts = [1, 2, 3, 4].map((c) => strands.filter(({ channel }) => channel === c).length);
    expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(1);
    for (const tile of ["D1", "D2"]) {
      const own = strands.filter((s) => s.tile === tile);
      // By chance 15 of each; fewer than 5 or more than 25 has odds below 1 in 1000 (binomial, n 60, p 1/4).
      for (const c of [1, 2, 3, 4]) {
        const n = own.filter(({ channel }) => channel === c).length;
        expect(n).toBeGreaterThanOrEqual(5);
        expect(n).toBeLessThanOrEqual(25);
      }
    }
    const moon = input.pattern.holes.find(({ kind }) => kind === "moon")!;
    expect(strands.find(({ hole }) => hole === moon.id)!.channel).toBe(1);
  });

  test("wheel: angles evenly round the port, neighbours apart; another seed, another order", () => {
    const input = room({ bundles: { engines, twinkle: { kind: "wheel" } }, holes });
    const { strands } = makeBundles(input, { solver });
    const own = strands.filter(({ tile }) => tile === "D2").map(({ wheelDeg }) => wheelDeg!);
    const angles = own.sort((a, b) => a - b);
    // 60 strands on a turn: 6 degrees apart, to a tenth
    expect(angles).toHaveLength(60);
    angles.forEach((a, i) => expect(Math.abs(a - angles[0]! - 6 * i)).toBeLessThan(0.11));
    expect(Math.max(...strands.map(({ wheelDeg }) => wheelDeg!))).toBeLessThan(360);
    const half = strands.filter(({ tile, wheelDeg }) => tile === "D1" && wheelDeg! < 180).length;
    expect(half).toBeGreaterThan(15);
    expect(half).toBeLessThan(46);
    const other = structuredClone(input);
    other.job.pattern.seed = 2;
    const angle = (b: ReturnType<typeof makeBundles>) => b.strands.map(({ wheelDeg }) => wheelDeg).join();
    expect(angle(makeBundles(other, { solver }))).not.toBe(strands.map(({ wheelDeg }) => wheelDeg).join());
  });
});
