import { expect, test } from "vitest";
import { benchJob } from "../../scripts/bench/pattern.ts";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { makePattern } from "../../src/pattern/pattern.ts";
import { skyFrame } from "../../src/sky/frame.ts";
import { fromSky } from "../../src/work/fromSky.ts";

const job = benchJob(4, 3, 300);
const night = job.sky.options[0]!;
const given = { job, night, sky: skyFrame(night), ceiling: makeCeiling(job.ceiling) };

test("where only the pattern changes no sky is laid anew; where the view turns it is, and no hole is what it was", async () => {
  const catalog = await loadCatalog({ deep: false });
  const holes = (from: typeof given) =>
    makePattern({ night: night.id, ...fromSky(from, catalog) }).holes.map(({ xMm, yMm }) => [xMm, yMm]);
  const wider = { ...given, job: { ...job, pattern: { ...job.pattern, spacingMm: 12 } } };
  const turned = { ...given, night: { ...night, view: { ...night.view, turnDeg: 40 } } };
  const first = fromSky(given, catalog).projected;
  expect(fromSky(wider, catalog).projected).toBe(first);
  const before = holes(given);
  expect(holes(turned)).not.toEqual(before);
  // what was made ready for the other view is not taken for this one; a ceiling that never saw it agrees
  expect(holes(given)).toEqual(before);
  expect(holes({ ...given, sky: skyFrame(night), ceiling: makeCeiling(job.ceiling) })).toEqual(before);
});
