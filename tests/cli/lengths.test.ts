import { readFile } from "node:fs/promises";
import { expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { withLengths } from "../../src/cli/lengths.ts";
import type { Shell } from "../../src/cli/shell.ts";
import { planJob } from "../../src/plan.ts";
import { strandLights } from "../../src/scene/lights.ts";
import { magnitudesBelow } from "../../src/scene/photometry.ts";

const shell: Shell = {
  json: true,
  signal: new AbortController().signal,
  say: () => undefined,
  progress: () => undefined,
  warn: () => undefined,
};
const catalog = await loadCatalog();
const { job } = checkJob(
  await readFile(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
);
const plan = planJob(job, catalog);

test("a picture's strands have the lengths of their kits, and lose 1 magnitude for every 4 dB (Pogson)", async () => {
  const made = await withLengths(plan, catalog, shell);
  const inKits = new Set(job.bundles.kits.flatMap((kit) => kit.strands.map((s) => s.lengthM)));
  const lengths = [...made.lengthsM!.values()];
  expect(lengths.length).toBeGreaterThan(0.95 * plan.pattern.holes.length);
  for (const length of lengths) expect(inKits.has(length)).toBe(true);
  expect(new Set(lengths).size).toBeGreaterThan(1);
  const lights = strandLights(job, made.plan.pattern.holes, made.lengthsM);
  const of = (lengthM: number): number =>
    made.plan.pattern.holes.findIndex((h) => h.diameterMm === 0.75 && made.lengthsM!.get(h.id) === lengthM);
  const used = [...new Set(lengths)].sort((a, b) => a - b).filter((length) => of(length) >= 0);
  const [short, long] = [used[0]!, used[used.length - 1]!];
  expect(long).toBeGreaterThan(short);
  const fainter = magnitudesBelow(lights[of(long)]!.power / lights[of(short)]!.power);
  expect(fainter).toBeCloseTo(((long - short) * job.strands.lossDbPerM) / 4, 5);
});

test("without engines the lengths are unknown and nothing is bundled", async () => {
  const bare = { ...plan, job: { ...job, bundles: { ...job.bundles, engines: [] } } };
  expect(await withLengths(bare, catalog, shell)).toEqual({ plan: bare });
});
