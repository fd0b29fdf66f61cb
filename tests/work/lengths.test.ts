import { readFile } from "node:fs/promises";
import { expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { NODE } from "../../src/cli/work.ts";
import { litPlan, type LitPlan } from "../../src/bundles/litPlan.ts";
import { strandLights } from "../../src/scene/lights.ts";
import { magnitudesBelow } from "../../src/scene/photometry.ts";
import { choose, planned } from "../../src/work/stage.ts";
import { Work } from "../../src/work/work.ts";

const { job } = checkJob(
  await readFile(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
);

async function litBy(asked: typeof job): Promise<LitPlan> {
  const made = await new Work(NODE, 5).upTo(choose(asked), "bundles");
  return litPlan({ plan: planned(made), bundles: made.bundles.bundles });
}

test("a picture's strands have the lengths of their kits, and lose 1 magnitude for every 4 dB (Pogson)", async () => {
  const made = await litBy(job);
  const inKits = new Set(job.bundles.kits.flatMap((kit) => kit.strands.map((s) => s.lengthM)));
  // A hole of several strands has their mean.
  const alone = made.plan.pattern.holes.filter(({ strands }) => strands === 1);
  const lengths = alone.map(({ id }) => made.lengthsM!.get(id)!);
  expect(lengths.length).toBeGreaterThan(0.85 * made.plan.pattern.holes.length);
  for (const length of lengths) expect(inKits.has(length)).toBe(true);
  expect(new Set(lengths).size).toBeGreaterThan(1);
  const lights = strandLights(job, made.plan.pattern.holes, made.lengthsM);
  const of = (lengthM: number): number =>
    made.plan.pattern.holes.findIndex(
      (h) => h.diameterMm === 0.75 && h.strands === 1 && made.lengthsM!.get(h.id) === lengthM,
    );
  const used = [...new Set(lengths)].sort((a, b) => a - b).filter((length) => of(length) >= 0);
  const [short, long] = [used[0]!, used[used.length - 1]!];
  expect(long).toBeGreaterThan(short);
  const fainter = magnitudesBelow(lights[of(long)]!.power / lights[of(short)]!.power);
  expect(fainter).toBeCloseTo(((long - short) * job.strands.lossDbPerM) / 4, 5);
});

test("without engines the lengths are unknown", async () => {
  expect(await litBy({ ...job, bundles: { ...job.bundles, engines: [] } })).not.toHaveProperty("lengthsM");
});
