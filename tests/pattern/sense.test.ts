import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { checkJob } from "../../src/check.ts";
import type { JobInput } from "../../src/job/schema.ts";
import { senseWarnings, strayPinWarnings } from "../../src/pattern/sense.ts";
import { sampleJob } from "../job/sample.ts";

const codes = (text: string): string[] => {
  const { job, night } = checkJob(text);
  return senseWarnings(job, night, "sky.options[0]", makeCeiling(job.ceiling)).map(({ code }) => code);
};
const bent = (bend: (job: JobInput) => void): string[] => {
  const job = sampleJob();
  bend(job);
  return codes(JSON.stringify(job));
};

test("a sensible job has nothing to be told", () => {
  expect(codes(readFileSync("demo/harbour-dining-room.velarium.json", "utf8"))).toEqual([]);
  expect(bent(() => undefined)).toEqual([]);
});

test("a sky pressed into a corner of the room, with reaches beyond half a tile", () => {
  const text = readFileSync("tests/fuzz/worst/crowded-small-circle.velarium.json", "utf8");
  expect(codes(text)).toEqual(["reach-too-far", "sky-in-a-small-circle"]);
  // stereographic, by hand: the horizon at 90° from a zenith view lands at 600 / tan(75°) = 161 mm
  const { job, night } = checkJob(text);
  const warning = senseWarnings(job, night, "sky.options[0]", makeCeiling(job.ceiling)).at(-1)!;
  expect(warning.message).toMatch(/322 mm across, 1 % of the ceiling/);
});

test("bright stars that may move less than faint ones", () => {
  expect(bent((job) => (job.pattern = { reachMm: 60, brightReachMm: 20 }))).toEqual(["bright-reach-shorter"]);
});

test("a spacing that even seven strands to a hole can't live with", () => {
  // 140 strands, seven to a hole, need 20 holes; about 6 m² of usable area hold at most 1/(d²·√3/2) each
  expect(bent((job) => (job.pattern = { spacingMm: 200 }))).toEqual([]);
  expect(
    bent((job) => {
      job.pattern = { spacingMm: 200 };
      job.strands.stock = [{ diameterMm: 0.75, count: 2000 }];
    }),
  ).toEqual(["spacing-too-wide"]);
});

test("a pin made in a night that was taken out of the job", () => {
  const job = sampleJob();
  job.pattern = {
    byHand: [job.sky.options[0]!.id, "gone"].map((night) => ({
      do: "pin",
      what: 91262,
      night,
      offsetMm: [5, 5],
    })),
  };
  const warnings = strayPinWarnings(checkJob(JSON.stringify(job)).job);
  expect(warnings.map(({ path }) => path)).toEqual(["pattern.byHand[1].night"]);
  expect(warnings[0]!.message).toContain('"gone"');
});
