import { expect, test, vi } from "vitest";
import type { AskPage } from "../../../src/app/worker/api.ts";
import type { Job } from "../../../src/job/schema.ts";
import { demoJob } from "../demoJob.ts";
import { FakeCore, FakeSharing } from "./fakeCore.ts";
import { fakeWorkers } from "./fakeWorkers.ts";

const core = new FakeCore();
const quick = new FakeSharing();
const solver = new FakeSharing();
const started = fakeWorkers({
  "velarium-core": () => new FakeCore().api(),
  "velarium-plan": () => core.api(),
  "velarium-bundles": () => quick.api(),
  "velarium-solver": () => solver.api(),
});
const { studio } = await import("../../../src/app/state/studio.svelte.ts");
const { sharing } = await import("../../../src/app/work/sharing.svelte.ts");
const WAIT = { timeout: 30_000, interval: 20 };
const follow = () => sharing.follow(studio.plan, studio.job, false);

async function change(make: (job: Job) => Job): Promise<void> {
  studio.run((job) => ({ name: "change", job: make(job) }));
  await vi.waitFor(() => expect(studio.planOf).toBe(studio.job), WAIT);
  follow();
}

test("what hand rules find no place for is a first answer and no fault; the solver's word stands", async () => {
  await studio.begin(demoJob());
  await vi.waitFor(() => expect(studio.planOf).toBe(studio.job), WAIT);
  follow();
  await vi.waitFor(() => expect(sharing.bundles).not.toBeNull(), WAIT);
  expect(sharing.first).toBe(true);
  expect(sharing.dark).toBe(1);
  expect(sharing.bundles!.unlit).toEqual([]);
  expect(sharing.bundles!.faults.map(({ code }) => code)).not.toContain("no-room");
  expect(sharing.settled).toBe(false);
  await vi.waitFor(() => expect(solver.asked).toEqual(["solver"]), WAIT);
  solver.go();
  await vi.waitFor(() => expect(sharing.settled).toBe(true), WAIT);
  expect(sharing.first).toBe(false);
  await vi.waitFor(() => expect(sharing.takeoff).not.toBeNull(), WAIT);
});

test("labels and names ask nobody; an engine moved asks both, and a solver at work is stopped for it", async () => {
  await change((job) => ({
    ...job,
    bundles: { ...job.bundles, labels: { ...job.bundles.labels, skip: 2 } },
  }));
  await change((job) => ({ ...job, title: "Another" }));
  expect([quick.asked, solver.asked]).toEqual([["hand"], ["solver"]]);
  const moved = (heightMm: number) => (job: Job) => ({ ...job, bundles: { ...job.bundles, engines: job.bundles.engines.map((engine) => ({ ...engine, heightMm })) } }); // prettier-ignore
  await change(moved(1500));
  expect(sharing.settled).toBe(false);
  await vi.waitFor(() => expect(solver.asked).toHaveLength(2), WAIT);
  await change(moved(1600));
  expect(started.stopped).toEqual(["velarium-solver"]);
  await vi.waitFor(() => expect(solver.asked).toHaveLength(3), WAIT);
  solver.go();
  await vi.waitFor(() => expect(sharing.settled).toBe(true), WAIT);
  expect(started.names.filter((name) => name === "velarium-solver")).toHaveLength(2);
});

test("stopped by hand, the first answer is the last word, with its faults", async () => {
  await change((job) => ({ ...job, bundles: { ...job.bundles, riseM: 0.2 } }));
  await vi.waitFor(() => expect(sharing.solving).not.toBeNull(), WAIT);
  await vi.waitFor(() => expect(quick.asked.length).toBeGreaterThan(3), WAIT);
  await new Promise((later) => setTimeout(later, 100));
  sharing.stop();
  expect(sharing.how).toBe("stopped");
  expect(sharing.bundles!.faults.map(({ code }) => code)).toContain("no-room");
});

test("what is shown, pictured and printed is settled once and solved once; another's question waits for it", async () => {
  const { introduced, solving } = await import("../../../src/app/worker/makers.ts");
  const drawing: { page?: AskPage } = {};
  fakeWorkers({
    "velarium-plan": () => core.api(),
    "velarium-solver": () => solver.api(),
    "velarium-drawing": () => ({ meet: (page: AskPage) => void (drawing.page = page) }),
  });
  introduced("velarium-drawing", new Worker(new URL("file:///drawing"), { name: "velarium-drawing" }));
  await vi.waitFor(() => expect(drawing.page).toBeDefined(), WAIT);
  await change((job) => ({ ...job, pattern: { ...job.pattern, seed: 77 } }));
  const [plans, solves] = [core.plans, solver.asked.length];
  const { job } = studio;
  const [holes, shared] = [
    drawing.page!.holes(structuredClone(job), job.sky.chosen),
    drawing.page!.bundles(structuredClone(job), job.sky.chosen),
  ];
  await vi.waitFor(() => expect(sharing.solving).not.toBeNull(), WAIT);
  await vi.waitFor(() => expect(solver.asked).toHaveLength(solves + 1), WAIT);
  solver.go();
  expect((await holes).ok && (await shared).ok).toBe(true);
  await vi.waitFor(() => expect(sharing.settled).toBe(true), WAIT);
  expect(solving.knows(job)).toBe(true);
  // asked again by anybody, also by a picture of a night: nothing is made anew
  await drawing.page!.bundles(structuredClone({ ...job, title: "Renamed" }), job.sky.chosen);
  expect([core.plans, solver.asked.length]).toEqual([plans, solves + 1]);
});
