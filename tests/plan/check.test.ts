import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { JobFaults } from "../../src/job/faults.ts";
import type { JobInput } from "../../src/job/schema.ts";

const demo = readFileSync("demo/harbour-dining-room.velarium.json", "utf8");

function faultPaths(spoil: (job: JobInput) => void): string[] {
  const job = JSON.parse(demo) as JobInput;
  spoil(job);
  try {
    checkJob(JSON.stringify(job));
  } catch (error) {
    if (error instanceof JobFaults) return error.faults.map(({ path }) => path);
    throw error;
  }
  return [];
}

test("the demo has no fault", () => expect(faultPaths(() => {})).toEqual([]));

test("one broken part hides no fault of another", () => {
  const paths = faultPaths((job) => {
    job.ceiling.noGo![0]!.circle!.radiusMm = -4;
    job.ceiling.tiles!["Z99"] = { use: "plain" };
    job.sky.chosen = "nowhere";
    job.sky.options[1]!.place.latDeg = 95;
    job.sky.options[2]!.moment = { local: "2030-03-10T02:30:00", zone: "America/Halifax" };
    job.strands.stock[0]!.count = -3;
    job.sheets!.paper = "A9";
  });
  expect(paths.sort()).toEqual([
    "ceiling.noGo[0].circle.radiusMm",
    "ceiling.tiles.Z99",
    "sheets.paper",
    "sky.chosen",
    "sky.options[1].place.latDeg",
    "sky.options[2].moment.local",
    "strands.stock[0].count",
  ]);
});

test("a crossed zone is told beside a tile that isn't there", () => {
  const paths = faultPaths((job) => {
    job.ceiling.noGo = [{ kind: "other", polygonMm: [[500, 500], [900, 900], [900, 500], [500, 900]] }]; // prettier-ignore
    job.ceiling.tiles!["Z99"] = { use: "plain" };
  });
  expect(paths).toEqual(["ceiling.noGo[0].polygonMm", "ceiling.tiles.Z99"]);
});
