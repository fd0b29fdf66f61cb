import { readFileSync, writeFileSync } from "node:fs";
import { unzipSync } from "fflate";
import { afterAll, beforeAll, expect, test } from "vitest";
import { makeSheetsFile } from "../../../src/app/parts/sheets/worker/files.ts";
import type { SheetsOrder } from "../../../src/app/parts/sheets/worker/api.ts";
import { makePackFile } from "../../../src/app/work/worker/files.ts";
import type { PackOrder } from "../../../src/app/work/worker/api.ts";
import { NODE } from "../../../src/cli/work.ts";
import type { Hole } from "../../../src/pattern/types.ts";
import { choose } from "../../../src/work/stage.ts";
import { Work } from "../../../src/work/work.ts";
import type { Entry } from "../../../src/record/entry.ts";
import { writeRecord } from "../../../src/record/write.ts";
import { readJob } from "../../../src/job/read.ts";
import { writeJob } from "../../../src/job/write.ts";
import { contents, scratch, velarium } from "../../cli/run.ts";
import { THREE_JOBS } from "../../sheets/threeJobs.ts";
import { demoJob } from "../demoJob.ts";

/**
 * Both shells, called as a person calls them: the command line writes its folders, and what the studio's workers make
 * of the same job and record (here with Node's solver and fonts) is held against every byte of them.
 */
const folder = scratch();
const written = new Map<string, Buffer>();
const work = new Work(NODE, 40);
const job = demoJob();
const how = { signal: new AbortController().signal, onProgress: () => Promise.resolve() };
const stamp = (run: string, n: number) => ({ id: `${run}-${n}`, atMs: 1_900_000_000_000 + n, who: "Kim", device: run, revision: 1 }); // prettier-ignore
/** What happened, as the command line reads it from its file; the studio has heard it in another order. */
const record: Entry[] = [
  { ...stamp("aa00", 1), what: "punched", tile: "C4", holes: [1, 2, 3, 4] },
  { ...stamp("aa00", 2), what: "moved", tile: "C4", hole: 2, byUm: [3000, -4000], knows: ["aa00-1"] },
  { ...stamp("aa00", 3), what: "given up", tile: "C4", hole: 3, knows: ["aa00-1"] },
  { ...stamp("aa00", 4), what: "added", tile: "C4", atUm: [100_000, 200_000], diameterMm: 1, strands: 2 },
  { ...stamp("bb00", 2), what: "added", tile: "C4", atUm: [150_000, 200_000], diameterMm: 1, strands: 1 },
  { ...stamp("bb00", 5), what: "replaced", tile: "D5", hole: 1, diameterMm: 1.5, knows: [] },
  { ...stamp("bb00", 6), what: "lifted", tile: "D5" },
];
const heard = record.toReversed();
type Told = { record?: Entry[] };
const sheets = (order: SheetsOrder, of = job, told: Told = { record: heard }) => makeSheetsFile({ work, fonts: NODE.fonts }, of, order, { ...how, ...told }); // prettier-ignore
const packs = (order: PackOrder, of = job, told: Told = { record: heard }) => makePackFile(work, of, order, { ...how, ...told, changes: null }); // prettier-ignore

/** What the command line writes of a job, in three folders; what is in `packs/` comes of two of them. */
async function writtenOf(file: string, more: string[] = []): Promise<Map<string, Buffer>> {
  const files = new Map<string, Buffer>();
  for (const command of ["plan", "pack", "order"]) {
    const out = folder.path(command);
    const ran = await velarium([command, file, "--replace", "--out", out, ...more]);
    // 1: written, with faults of the job to be told
    expect(ran.code, ran.err).toBeLessThan(2);
    for (const [name, bytes] of contents(out))
      if (name !== "files.sha256") files.set(command === "plan" ? name : `packs/${name}`, bytes);
  }
  return files;
}

let planned: readonly Hole[];
beforeAll(async () => {
  planned = (await work.upTo(choose(job), "holes")).holes.pattern.holes;
  const file = folder.path("room.record.json");
  writeFileSync(file, writeRecord({ job: { id: job.id!, title: job.title }, entries: record }));
  for (const [name, bytes] of await writtenOf("demo/harbour-dining-room.velarium.json", ["--record", file]))
    written.set(name, bytes);
}, 240_000);
afterAll(() => folder.remove());

const sameList = (zip: Uint8Array, prefix: string, by = written): void => {
  const made = unzipSync(zip);
  const names = [...by.keys()].filter((name) => name.startsWith("packs/") === (prefix === "packs/"));
  expect(Object.keys(made).map((name) => prefix + name).sort()).toEqual(names.sort()); // prettier-ignore
  expect(names.length).toBeGreaterThan(8);
  const other = Object.entries(made).filter(([name, bytes]) => !by.get(prefix + name)!.equals(bytes));
  expect(other.map(([name]) => name)).toEqual([]);
};

test("the studio's archive of everything is what `velarium plan` writes, file by file, byte by byte", async () => {
  sameList((await sheets({ what: "everything" })).bytes, "");
}, 240_000);

test("its archive of packs is what `velarium pack` and `velarium order` write", async () => {
  sameList((await packs("everything")).bytes, "packs/");
}, 240_000);

test.each(["foyer", "library"])(
  "so it is with another job: %s",
  async (name) => {
    const file = folder.path("other.velarium.json");
    writeFileSync(file, writeJob(THREE_JOBS[name]!()));
    const other = readJob(readFileSync(file)).job;
    const by = await writtenOf(file);
    sameList((await sheets({ what: "everything" }, other, {})).bytes, "", by);
    sameList((await packs("everything", other, {})).bytes, "packs/", by);
  },
  240_000,
);

test("all of it is as built, and the order has the spares to buy again", () => {
  const lines = (name: string) => written.get(name)!.toString().trim().split("\r\n");
  const c4 = lines("holes.csv").filter((line) => line.split(",")[1] === "C4");
  const plannedHere = planned.filter((hole) => hole.tile === "C4");
  expect(c4).toHaveLength(plannedHere.length - 1 + 2);
  const second = plannedHere.find((hole) => hole.numberInTile === 2)!;
  const moved = c4.find((line) => line.split(",")[2] === "2")!.split(",");
  expect(Number(moved[9])).toBeCloseTo(second.xMm + 3, 3);
  expect(Number(moved[10])).toBeCloseTo(second.yMm - 4, 3);
  expect(lines("packs/order.csv").filter((line) => line.startsWith("spare strand again"))).toEqual([
    expect.stringMatching(/1\.5 mm.*in place of what was used on D5".*,the record$/),
  ]);
});

test("a file downloaded alone is that of the whole list", async () => {
  const alone: [path: string, order: SheetsOrder][] = [
    ["sheets/overview.pdf", { what: "overview" }],
    ["sheets/templates-back.pdf", { what: "templates", side: "back", tiles: null }],
    ["sheets/svg/C4-back.svg", { what: "tile-drawing", tile: "C4", side: "back", format: "svg" }],
    ["sheets/dxf/C4-back.dxf", { what: "tile-drawing", tile: "C4", side: "back", format: "dxf" }],
    ["plan.svg", { what: "plan-drawing", format: "svg" }],
    ["plan.dxf", { what: "plan-drawing", format: "dxf" }],
    ["holes.csv", { what: "table", name: "holes" }],
    ["lost.csv", { what: "table", name: "lost" }],
  ];
  for (const [path, order] of alone)
    expect(written.get(path)!.equals((await sheets(order)).bytes), path).toBe(true);
  const names = [...written.keys()].filter((name) => name.startsWith("packs/")).map((name) => name.slice(6));
  for (const name of names)
    expect(written.get(`packs/${name}`)!.equals((await packs(name as PackOrder)).bytes), name).toBe(true);
}, 240_000);
