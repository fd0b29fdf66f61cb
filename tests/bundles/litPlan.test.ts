import { readFile } from "node:fs/promises";
import { expect, test } from "vitest";
import { bundlePlan } from "../../src/bundles/compensate.ts";
import { litPlan } from "../../src/bundles/litPlan.ts";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import type { Job } from "../../src/job/schema.ts";
import { planJob } from "../../src/work/planJob.ts";
import { prepareScene } from "../../src/scene/scene.ts";
import { seatsOf } from "../../src/scene/seats.ts";

const catalog = await loadCatalog();
const { job } = checkJob(
  await readFile(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
);

/** The demo with every strand cut to one length from the reel, in a hand's sharing-out. */
function cutTo(lengthM: number): Job {
  const engines = job.bundles.engines.map((engine) => ({
    ...engine,
    reachM: 20,
    capacity: 2000,
    portDiameterMm: 60,
  }));
  return { ...job, bundles: { ...job.bundles, engines, kits: [], cutLengthsM: [lengthM] } };
}

const plan = planJob(job, catalog);
const lit = (asked: Job) =>
  litPlan(bundlePlan({ ...plan, job: asked }, { solver: null, figures: catalog.figures }));

// FACTS.dbPerMag: 4 dB are exactly one magnitude (Pogson), so dB/m times metres over 4 is what a strand loses.
test("a scene of longer strands is dimmer by their dB, strand for strand", () => {
  const seat = seatsOf(job, plan.ceiling)[1]!;
  const scene = (lengthM: number) => {
    const { plan: shown, lengthsM } = lit(cutTo(lengthM));
    expect(lengthsM!.size).toBe(plan.pattern.holes.length);
    return prepareScene(shown, { seat, widthPx: 640, heightPx: 400, lengthsM: lengthsM!, whiteLight: 1 });
  };
  const [short, long] = [scene(12), scene(17)];
  const dB = 5 * job.strands.lossDbPerM;
  for (const [i, light] of short.lights.entries())
    expect(10 * Math.log10(light.power / long.lights[i]!.power)).toBeCloseTo(dB, 5);
  // and every spot on the picture is dimmer
  const peaks = ({ spots: s }: typeof short): Map<number, number> => {
    const found = new Map<number, number>();
    for (let i = 0; i < s.count; i++) {
      const weights = s.weights.subarray(s.start[i], s.start[i]! + s.width[i]! * s.height[i]!);
      found.set(s.light[i]!, Math.max(...weights));
    }
    return found;
  };
  const [near, far] = [peaks(short), peaks(long)];
  const both = [...near.keys()].filter((light) => far.has(light));
  expect(both.length).toBeGreaterThan(1000);
  for (const light of both) expect(near.get(light)).toBeGreaterThan(far.get(light)!);
});

test("without engines nothing is known and the plan is the same", () => {
  const bare = { ...job, bundles: { ...job.bundles, engines: [] } };
  const made = lit(bare);
  expect(made.lengthsM).toBeUndefined();
  expect(made.plan.pattern).toBe(plan.pattern);
});

test("where thickness makes up for length, the picture has the strands that are punched", () => {
  const asked = { ...job, bundles: { ...job.bundles, compensateLength: true } };
  const bundled = bundlePlan({ ...plan, job: asked }, { solver: null, figures: catalog.figures });
  const before = new Map(plan.pattern.holes.map((hole) => [hole.id, hole]));
  const { holes } = bundled.plan.pattern;
  const changed = holes.filter((hole) => hole.diameterMm !== before.get(hole.id)!.diameterMm);
  expect(changed.length).toBeGreaterThan(0);
  // exchanged, not replaced: as many strands of each diameter as before (never more of one than in stock)
  const counts = (list: typeof holes) => {
    const of: Record<string, number> = {};
    for (const { diameterMm, strands } of list) of[diameterMm] = (of[diameterMm] ?? 0) + strands;
    return of;
  };
  expect(counts(holes)).toEqual(counts(plan.pattern.holes));
  // and the picture shows those of them that an engine lights
  const dark = new Set(bundled.bundles.unlit.map(({ hole }) => hole));
  expect(litPlan(bundled).plan.pattern.holes).toEqual(holes.filter(({ id }) => !dark.has(id)));
});
