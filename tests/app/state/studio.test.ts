import { expect, test, vi } from "vitest";
import { demoJob } from "../demoJob.ts";
import { FakeCore } from "./fakeCore.ts";
import { fakeWorkers } from "./fakeWorkers.ts";

const core = new FakeCore();
const started = fakeWorkers({ "velarium-core": () => core.api(), "velarium-plan": () => core.api() });
const { studio } = await import("../../../src/app/state/studio.svelte.ts");
const { Refusal } = await import("../../../src/app/state/edit.ts");
const WAIT = { timeout: 30_000, interval: 20 };
const planned = () => vi.waitFor(() => expect(studio.planning || studio.plan === null).toBe(false), WAIT);
const named = (title: string) => studio.run((job) => ({ name: title, job: { ...job, title } }));

test("nothing starts before something is asked", () => {
  expect(studio.ready).toBe(false);
  expect(started.names).toEqual([]);
});

test("a job is surveyed and planned when it is opened, each in its own worker", async () => {
  await studio.begin(demoJob());
  await planned();
  expect([...started.names].sort()).toEqual(["velarium-core", "velarium-plan"]);
  expect(core.plans).toBe(1);
  expect(studio.plan!.pattern.holes.length).toBeGreaterThan(1000);
  expect(studio.planOf).toBe(studio.job);
  expect("job" in studio.plan! && studio.planFaults.length > 0).toBe(false);
});

test("names, prices and engines move no hole: nothing is planned, and the plan is known to fit", async () => {
  const { plan } = studio;
  named("Another");
  studio.run((job) => ({
    name: "people",
    job: { ...job, takeoff: { ...job.takeoff, spareStrandsPerTile: 9 } },
  }));
  await vi.waitFor(() => expect(studio.planOf).toBe(studio.job), WAIT);
  expect(core.plans).toBe(1);
  expect(studio.plan).toBe(plan);
});

test("while a thing is dragged nothing is recorded; letting go makes one step, which undo takes back", async () => {
  const steps = studio.steps.length;
  const widen = (spacingMm: number) => studio.preview((job) => ({ name: "Space", job: { ...job, pattern: { ...job.pattern, spacingMm } } })); // prettier-ignore
  widen(9);
  widen(10);
  expect(studio.dragging).toBe(true);
  expect(studio.settledJob.pattern.spacingMm).toBe(8);
  studio.commit();
  expect(studio.steps.length).toBe(steps + 1);
  await planned();
  await vi.waitFor(() => expect(studio.planOf!.pattern.spacingMm).toBe(10), WAIT);
  studio.undo();
  expect(studio.job.pattern.spacingMm).toBe(8);
  await vi.waitFor(() => expect(studio.planOf!.pattern.spacingMm).toBe(8), WAIT);
});

test("a refused edit changes nothing; faults of a plan are told and go with the next one", async () => {
  const { job } = studio;
  expect(studio.run(() => { throw new Refusal("no"); })).toBe(false); // prettier-ignore
  expect(studio.job).toBe(job);
  core.refuse = { ok: false, faults: [{ path: "sky", expected: "a", got: "b", next: "c" }] };
  studio.run((now) => ({ name: "Seed", job: { ...now, pattern: { ...now.pattern, seed: 2 } } }));
  await vi.waitFor(() => expect(studio.planFaults.map(({ path }) => path)).toEqual(["sky"]), WAIT);
  core.refuse = null;
  studio.run((now) => ({ name: "Seed", job: { ...now, pattern: { ...now.pattern, seed: 3 } } }));
  await vi.waitFor(() => expect([studio.planFaults, studio.planOf?.pattern.seed]).toEqual([[], 3]), WAIT);
});
