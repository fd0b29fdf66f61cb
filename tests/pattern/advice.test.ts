import { readFile } from "node:fs/promises";
import { beforeAll, describe, expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import type { Job } from "../../src/job/schema.ts";
import { adviseStock, offersOf, type Aim, type Mix, type Offer } from "../../src/pattern/advice.ts";
import { mixPicture, mostLightOf } from "../../src/pattern/mixPicture.ts";
import { projectSky } from "../../src/sky/project.ts";
import type { Catalog } from "../../src/sky/types.ts";
import { planJob } from "../../src/work/planJob.ts";

const OFFERS: Offer[] = [
  { diameterMm: 0.5, price: 0.6 },
  { diameterMm: 0.75, price: 0.9 },
  { diameterMm: 1.5, price: 2.4 },
];
let catalog: Catalog;
let demo: Job;
beforeAll(async () => {
  catalog = await loadCatalog();
  demo = checkJob(
    await readFile(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
  ).job;
});

const withStock = (stock: Job["strands"]["stock"]): Job => ({
  ...demo,
  strands: { ...demo.strands, stock, use: null },
  pattern: { ...demo.pattern, byHand: [] },
});

function advise(job: Job, aim: Aim, offers = OFFERS): Mix[] {
  const { frame, projection, ceiling } = planJob(job, catalog);
  const projected = projectSky(catalog, frame, projection, ceiling.box);
  const { strands, pattern } = job;
  const sought = { asideShare: 0, faintestMagnitude: pattern.faintestMagnitude };
  return adviseStock({ catalog, figures: [], projected, ceiling, strands, ...sought }, offers, aim);
}

describe("which strands to buy", () => {
  test("a kit of 480 equal strands is told what grouping gives", () => {
    const mixes = advise(withStock([{ diameterMm: 0.75, count: 480 }]), { holes: 480 });
    const [alone, grouped] = mixes;
    expect([alone!.title, grouped!.title]).toEqual(["now, one strand in each hole", "now"]);
    // 480 equal lights: ten of them lead by chance alone, 10 x 10/480.
    expect(alone!.leading).toBeCloseTo(100 / 480, 2);
    expect(alone!.contrastMag).toBe(0);
    expect(grouped!.leading).toBeGreaterThanOrEqual(9);
    // Seven strands against one are 2.5 log10(7) = 2.11 magnitudes at most.
    expect(grouped!.contrastMag).toBeGreaterThan(1.5);
    expect(grouped!.contrastMag).toBeLessThanOrEqual(2.12);
    expect(grouped!.skyErrorMag).toBeLessThan(alone!.skyErrorMag);
    expect(grouped!.holes).toBeLessThan(alone!.holes);
    expect(grouped!.strands).toBeLessThanOrEqual(480);
  });

  test("more diameters come nearer to the sky for as many holes, and each mix taken into the job does so there", () => {
    const mixes = advise(withStock([{ diameterMm: 0.75, count: 480 }]), { holes: 600 });
    const bought = mixes.filter(({ title }) => !title.startsWith("now"));
    expect(bought.map(({ stock }) => stock.length)).toEqual([1, 2, 3]);
    for (let i = 1; i < bought.length; i++)
      expect(bought[i]!.skyErrorMag).toBeLessThanOrEqual(bought[i - 1]!.skyErrorMag + 0.05);
    for (const mix of bought) {
      // Strands are bought by tens, which makes a few holes more.
      expect(Math.abs(mix.holes - 600)).toBeLessThan(60);
      const taken = withStock(mix.stock.map((kind) => ({ ...kind })));
      const { pattern } = planJob({ ...taken, pattern: { ...taken.pattern, deeperShare: 0 } }, catalog);
      expect(Math.abs(pattern.holes.length - mix.holes)).toBeLessThan(0.05 * mix.holes);
      expect(pattern.fidelity.stepErrorMag).toBeLessThanOrEqual(0.25);
      expect(pattern.fidelity.leading[0]!.among).toBeGreaterThanOrEqual(9);
    }
  });

  test("a limit of price holds for every mix, and is used", () => {
    for (const mix of advise(withStock([{ diameterMm: 0.75, count: 480 }]), { price: 700 }).slice(2)) {
      const sum = mix.stock.reduce(
        (total, { diameterMm, count }) =>
          total + count * OFFERS.find((o) => o.diameterMm === diameterMm)!.price!,
        0,
      );
      expect(mix.price).toBeCloseTo(sum, 9);
      expect(sum).toBeLessThanOrEqual(700);
      expect(sum).toBeGreaterThan(630);
    }
  });

  test("strands cost what the job's prices say by the metre, at its usual length", () => {
    const job = { ...demo, scene: { ...demo.scene, lengthM: 4 } };
    expect(offersOf(job, [0.75, 2])).toEqual([
      { diameterMm: 0.75, price: 1.68 }, // 4 m of 0.42
      { diameterMm: 2, price: null },
    ]);
  });

  test("pictures have one scale: equal light is drawn equally, whatever stands beside it", () => {
    const { ceiling } = planJob(demo, catalog);
    const dots = (light: number) => ({ dots: [{ xUm: 1_000_000, yUm: 1_000_000, light }] });
    const both = [dots(4e6), dots(1e6)];
    const radius = (svg: string) => Number(/ r="(\d+)"/.exec(svg)![1]);
    const [large, small] = both.map((mix) => radius(mixPicture(mix, ceiling, mostLightOf(both))));
    expect(large! / small!).toBeCloseTo(2, 2); // area goes with light
  });
});
