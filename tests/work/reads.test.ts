import { ceilingHeightMm } from "../../src/job/assumed.ts";
import { readFile } from "node:fs/promises";
import { describe, expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { NODE } from "../../src/cli/work.ts";
import type { Job } from "../../src/job/schema.ts";
import { paperByName } from "../../src/sheets/papers.ts";
import { makeCamera } from "../../src/scene/camera.ts";
import { seatBelow } from "../../src/scene/seats.ts";
import { READS, stagesOf, type RowName } from "../../src/work/reads.ts";
import {
  choose,
  planned,
  type Chosen,
  type Given,
  type Stage,
  type StageName,
  type Tools,
} from "../../src/work/stage.ts";
import { TABLE } from "../../src/work/table.ts";
import { issueTiles } from "../../src/issue/make.ts";
import { sharerBy } from "../../src/work/shareOut.ts";
import { Work } from "../../src/work/work.ts";
import { covers, recorded, type Paths } from "./recorder.ts";

const demo = checkJob(
  await readFile(new URL("../../demo/harbour-dining-room.velarium.json", import.meta.url)),
).job;
/** What the demo leaves out: strands exchanged for length, a seat, decisions by hand, printer and labels. */
const other: Job = {
  ...demo,
  units: "ft-in",
  bundles: {
    ...demo.bundles,
    compensateLength: true,
    fixed: { C4: "A" },
    labels: { ...demo.bundles.labels, skip: 3 },
  },
};

/** Hand rules: what is read is the same, and no solver has to run. */
const TOOLS: Tools = { ...NODE, sharer: sharerBy(null) };
/** The same with some tiles issued. */
const issued = await (async () => {
  const made = await new Work(TOOLS, 10).upTo(choose(other), "bundles");
  const how = { on: "2029-06-01", exchanged: true, tiles: ["A1", "A2", "C4"] };
  return issueTiles(planned(made), made.bundles.bundles, how).job;
})();
/** What a row takes is made once for all rows. */
const work = new Work(TOOLS, 30);
type AnyStage = Stage<StageName, unknown, unknown, unknown>;

/** Files that are drawn only when somebody takes them. */
const isStream = (value: unknown): value is AsyncIterable<unknown> =>
  typeof value === "object" && value !== null && Symbol.asyncIterator in value;

/** What each printed thing is asked for with. */
function howOf({ ceiling, job }: Given<"ceiling">): Partial<Record<RowName, object>> {
  const seat = seatBelow(ceiling);
  const view = { seat, widthPx: 64, heightPx: 48, samples: 1 };
  const camera = makeCamera(seat, ceilingHeightMm(job.ceiling), view.widthPx, view.heightPx);
  return {
    plan: { tiles: ["C4"] },
    sheets: { tiles: ["C4"] },
    scene: view,
    sceneOfSky: view,
    sceneByDay: view,
    overlay: { camera },
    advice: { offers: [{ diameterMm: 0.75, price: 1 }], aim: { holes: 300 } },
    skySheet: { paper: paperByName("A4") },
  };
}

/** Paths that making a row read of the job, beside what its inputs, and those of the stages it takes, hold. */
async function readBeside(job: Job, name: RowName): Promise<string[]> {
  const whole = choose(job);
  const reads: Paths = new Set();
  const seen: Chosen = {
    job: recorded(job, [], reads),
    night: recorded(whole.night, ["night"], reads),
    at: whole.at,
  };
  const before = stagesOf(whole, name).filter((one) => one !== name);
  const made = { warnings: {} } as Given<StageName>;
  for (const one of before) Object.assign(made, await work.upTo(whole, one));
  const given = { ...made, ...seen };
  const row = TABLE[name] as unknown as AnyStage;
  const how = made.ceiling ? (howOf(made)[name] ?? {}) : {};
  // which further fonts are fetched hangs on every word of the job; what is drawn, on the words drawn
  const tools: Tools = { ...TOOLS, fonts: () => TOOLS.fonts(job) };
  const value = await row.make(given, await row.load(tools, seen), how);
  if (isStream(value)) for await (const _ of value) continue;
  row.warnings?.(given, value);
  // what a stage says is said anew each time (Work keeps values, never words), in the job's units
  const words = row.warnings ? [{ units: job.units }] : [];
  const inputs = [...words, ...[...before, name].map((one) => READS[one].inputsOf(whole))];
  return [...reads].filter(
    (path) => !inputs.some((input) => covers(input, { ...job, night: whole.night }, path)),
  );
}

test("the recorder sees what is read, and what is handed over", () => {
  const whole = { a: { b: 1, c: { d: [2, 3] } }, e: 4, f: { g: 5 } };
  const reads: Paths = new Set();
  const seen = recorded(whole, [], reads);
  JSON.stringify([seen.a.c.d.map((n) => n), "g" in seen.f, (seen.a as { none?: number }).none]);
  expect([...reads].sort()).toEqual(["a c d 0", "a c d 1", "a c d length", "a none", "f g"]);
  expect(covers({ a: whole.a }, whole, "a c d 1")).toBe(true);
  expect(covers({ a: { c: whole.a.c } }, whole, "a c d *")).toBe(true);
  expect(covers({ a: { c: whole.a.c } }, whole, "a b")).toBe(false);
  expect(covers({ e: 4 }, whole, "f g")).toBe(false);
  expect(covers({ e: 4 }, whole, "f *")).toBe(false);
});

describe("a stage reads nothing of the job but its inputs", () => {
  test.each(
    (Object.keys(READS) as RowName[]).flatMap((name) => [
      [name, "demo", demo] as const,
      [name, "another", issued] as const,
    ]),
  )(
    "%s, %s job",
    async (name, _, job) => {
      // prettier-ignore
      expect(await readBeside(job, name)).toEqual([]);
    },
    120_000,
  );
});
