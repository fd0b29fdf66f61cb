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

test("another job shows nothing of the last: no star picked, no wish, no picture, nothing printed, nothing to take back", async () => {
  const parts = "../../../src/app/parts";
  const { hand } = await import(`${parts}/pattern/hand.svelte.ts`);
  const { wishForm } = await import(`${parts}/night/wish/wishForm.svelte.ts`);
  const { wishing } = await import(`${parts}/night/wish/wishing.svelte.ts`);
  const { photo } = await import(`${parts}/photo/photo.svelte.ts`);
  const { packs } = await import(`${parts}/order/packs.svelte.ts`);
  const { sheetSet } = await import(`${parts}/sheets/sheetSet.svelte.ts`);
  const { atBench } = await import(`${parts}/bench/atBench.svelte.ts`);
  const { bench } = await import("../../../src/app/state/bench.svelte.ts");
  const { desk } = await import("../../../src/app/state/desk.svelte.ts");
  const shown = () =>
    [hand.picked, wishForm.date, wishing.result, photo.shots, photo.test, packs.printed, packs.since].concat([
      sheetSet.downloads,
      atBench.name,
      atBench.told,
      bench.engine,
      desk.selection,
    ]);
  const fresh = shown();
  const photograph = { file: null, url: "blob:none", corners: null, report: null, refused: "", marked: null };
  const used = (): void => {
    hand.pick("star:91262");
    wishForm.date = "2031-06-21";
    wishing.result = {};
    photo.shots = [photograph];
    photo.test = {};
    packs.printed = [{}];
    packs.since = { name: "old", job: studio.job };
    sheetSet.downloads = [{}];
    atBench.name = "D5";
    atBench.told = [{ words: "D5 covered", entries: [] }];
    bench.engine = 2;
    desk.selection = { kind: "thing", index: 7 };
  };
  used();
  expect(shown().every((now, i) => JSON.stringify(now) !== JSON.stringify(fresh[i]))).toBe(true);
  await studio.begin(demoJob());
  expect(shown()).toEqual(fresh);
});
