import { flushSync } from "svelte";
import { expect, test, vi } from "vitest";
import type { SkyRequest } from "../../../src/app/parts/night/worker/api.ts";
import { skyPicture } from "../../../src/app/parts/night/worker/sky.ts";
import { loadCatalog } from "../../../src/cli/catalogFiles.ts";
import { demoJob } from "../demoJob.ts";
import { FakeCore } from "./fakeCore.ts";
import { fakeWorkers } from "./fakeWorkers.ts";

const catalog = await loadCatalog();
const asked: SkyRequest[] = [];
const night = () => ({
  sky: (request: SkyRequest) => (asked.push(request), { ok: true, value: skyPicture(catalog, request) }),
  hours: () => ({ ok: false, faults: [] }),
});
const started = fakeWorkers({
  "velarium-core": () => new FakeCore().api(),
  "velarium-plan": () => new FakeCore().api(),
  "velarium-sky": night,
  "velarium-scenes": night,
});
const { studio } = await import("../../../src/app/state/studio.svelte.ts");
const { desk } = await import("../../../src/app/state/desk.svelte.ts");
const { live } = await import("../../../src/app/parts/night/sky/live.svelte.ts");
const WAIT = { timeout: 30_000, interval: 10 };

const turned = (turnDeg: number) =>
  live.preview((job) => ({
    name: "Turn",
    job: { ...job, sky: { ...job.sky, options: job.sky.options.map((option) => ({ ...option, view: { ...option.view, turnDeg } })) } }, // prettier-ignore
  }));

test("no sky is worked out before the night is looked at; then it follows the hand", async () => {
  await studio.begin(demoJob());
  await vi.waitFor(() => expect(studio.ceiling).not.toBeNull(), WAIT);
  expect(started.names).toEqual(["velarium-core"]);
  desk.part = "night";
  flushSync();
  await vi.waitFor(() => expect(live.picture).not.toBeNull(), WAIT);
  const before = live.picture!;
  turned(30);
  flushSync();
  await vi.waitFor(() => expect(live.picture!.projection.turnDeg).toBe(30), WAIT);
  expect(live.picture!.count).not.toBe(0);
  expect(before.projection.turnDeg).not.toBe(30);
  expect(asked.at(-1)!.moving).toBe(true);
});

test("a drag is a draft of the sky alone until it is let go, then one step", () => {
  const steps = studio.steps.length;
  turned(40);
  expect([studio.job.sky.options[0]!.view.turnDeg === 40, live.night.view.turnDeg]).toEqual([false, 40]);
  live.commit();
  expect([studio.steps.length, studio.job.sky.options[0]!.view.turnDeg]).toEqual([steps + 1, 40]);
  turned(50);
  live.cancel();
  expect(live.night.view.turnDeg).toBe(40);
});
