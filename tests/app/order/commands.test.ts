import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  addExtra,
  PRICE_NUMBERS,
  priceStrand,
  removeExtra,
  setCurrency,
  setExtra,
  setPrice,
  wordPrices,
} from "../../../src/app/parts/order/commands/prices.ts";
import {
  describeFabric,
  FABRIC_NUMBERS,
  GRID_NUMBERS,
  MATERIAL_NUMBERS,
  RATE_NUMBERS,
  setFabric,
  setFrame,
  measuredLoad,
  setGridLoad,
  setMeasuredLoad,
  setLoadClass,
  setMaterial,
  setPeople,
  setRate,
  sourceRates,
} from "../../../src/app/parts/order/commands/settings.ts";
import { cutLines } from "../../../src/app/parts/order/cutLines.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import { readJob } from "../../../src/job/read.ts";
import type { Job } from "../../../src/job/schema.ts";
import { writeJob } from "../../../src/job/write.ts";
import { layOut } from "../../../src/takeoff/cutPlan.ts";
import { demoJob } from "../demoJob.ts";

const sound = (job: Job): Job => {
  expect(readJob(writeJob(job)).job).toEqual(job);
  return job;
};
const keys = <T extends object>(table: T): (keyof T)[] => Object.keys(table) as (keyof T)[];

describe("what each number may be agrees with the document's schema", () => {
  const job = demoJob();
  const tables: [string, Record<string, { min: number; max: number }>, (key: string, n: number) => Job][] = [
    ["fabric", FABRIC_NUMBERS, (k, n) => setFabric(job, k as keyof typeof FABRIC_NUMBERS, n).job],
    ["grid", GRID_NUMBERS, (k, n) => setGridLoad(job, k as keyof typeof GRID_NUMBERS, n).job],
    ["material", MATERIAL_NUMBERS, (k, n) => setMaterial(job, k as keyof typeof MATERIAL_NUMBERS, n).job],
    ["rates", RATE_NUMBERS, (k, n) => setRate(job, k as keyof typeof RATE_NUMBERS, n).job],
    ["prices", PRICE_NUMBERS, (k, n) => setPrice(job, k as keyof typeof PRICE_NUMBERS, n).job],
  ];
  for (const [name, table, set] of tables) {
    test("a weight or a spacing typed as it would be assumed is measured; emptied, it is assumed again", () => {
      const grid = (of: Job) => of.takeoff.grid;
      const unmeasured = setMeasuredLoad(job, "mainSpacingMm", null).job;
      expect(measuredLoad(grid(unmeasured), "mainSpacingMm")).toBeNull();
      const typed = setMeasuredLoad(unmeasured, "mainSpacingMm", grid(unmeasured).mainSpacingMm).job;
      expect(measuredLoad(grid(typed), "mainSpacingMm")).toBe(grid(typed).mainSpacingMm);
      expect(grid(setMeasuredLoad(typed, "mainSpacingMm", null).job)).toEqual(grid(unmeasured));
      // a file from before there was a list of what is measured
      expect(measuredLoad({ ...grid(unmeasured), tileKgPerM2: 9 }, "tileKgPerM2")).toBe(9);
    });

    test(name, () => {
      for (const key of keys(table)) {
        sound(set(key, table[key]!.min));
        sound(set(key, table[key]!.max));
        expect(() => set(key, table[key]!.min - 1), key).toThrow(Refusal);
        expect(() => set(key, table[key]!.max * 2 + 1), key).toThrow(Refusal);
        expect(() => set(key, NaN), key).toThrow(Refusal);
      }
    });
  }
});

describe("words and choices", () => {
  test("fabric, frame, people, grid, source of the rates", () => {
    const job = demoJob();
    expect(describeFabric(job, { pile: "across" }).name).toBe("Let the pile run across the plan");
    expect(sound(describeFabric(job, { name: "velvet" }).job).takeoff.fabric.name).toBe("velvet");
    expect(sound(setFrame(job, true).job).takeoff.frame).toBe(true);
    expect(sound(setPeople(job, 1).job).takeoff.people).toBe(1);
    expect(sound(setLoadClass(job, "light").job).takeoff.grid.loadClass).toBe("light");
    expect(sound(sourceRates(job, " our own ").job).takeoff.rates.source).toBe("our own");
    expect(() => sourceRates(job, "  ")).toThrow("where the rates come from");
  });

  test("money: currency by ISO 4217 letters, strand by diameter, extras one by one", () => {
    const job = demoJob();
    expect(sound(setCurrency(job, "eur").job).takeoff.prices.currency).toBe("EUR");
    expect(() => setCurrency(job, "euro")).toThrow("three letters");
    const priced = sound(priceStrand(priceStrand(job, 0.5, 0.31).job, 1, 0).job);
    expect(priced.takeoff.prices.strandPerM.map((p) => p.diameterMm)).toEqual([0.5, 0.75, 1.5]);
    const extra = addExtra(job).job;
    const index = extra.takeoff.prices.extras.length - 1;
    const named = setExtra(setExtra(extra, index, { what: "tower" }).job, index, { price: 120.5 }).job;
    expect(sound(named).takeoff.prices.extras[index]).toEqual({ what: "tower", price: 120.5 });
    expect(removeExtra(named, index).job.takeoff.prices.extras).toEqual(job.takeoff.prices.extras);
    expect(() => setExtra(job, 40, { price: 1 })).toThrow(Refusal);
    expect(wordPrices(job, { taxName: "GST" }).name).toBe("Name the tax");
  });
});

describe("the roll on the screen", () => {
  const blank = fc.record({
    acrossUm: fc.integer({ min: 100_000, max: 1_400_000 }),
    alongUm: fc.integer({ min: 100_000, max: 1_400_000 }),
  });

  test("lines cover the roll without gap or overlap and break through no blank", () => {
    fc.assert(
      fc.property(
        fc.array(blank, { minLength: 1, maxLength: 30 }),
        fc.integer({ min: 1, max: 6 }),
        (sizes, n) => {
          const blanks = sizes.map((size, i) => ({ name: `B${i}`, ...size }));
          const cut = layOut(blanks, 1_524_000, 25_000);
          const lines = cutLines(cut.placed, cut.lengthUm, n);
          expect(lines.length).toBeLessThanOrEqual(n);
          expect(lines[0]!.fromUm).toBe(0);
          expect(lines.at(-1)!.toUm).toBe(cut.lengthUm);
          lines.slice(1).forEach((line, i) => expect(line.fromUm).toBe(lines[i]!.toUm));
          for (const { fromUm } of lines.slice(1))
            for (const { yUm, alongUm } of cut.placed)
              expect(yUm < fromUm && fromUm < yUm + alongUm).toBe(false);
        },
      ),
      { seed: 5, numRuns: 200 },
    );
  });

  test("two equal strips on two lines: one each", () => {
    const strip = (name: string, yUm: number) => ({ name, acrossUm: 10, alongUm: 700, xUm: 0, yUm });
    expect(cutLines([strip("a", 0), strip("b", 700)], 1400, 2)).toEqual([
      { fromUm: 0, toUm: 700 },
      { fromUm: 700, toUm: 1400 },
    ]);
  });
});
