import { unzipSync } from "fflate";
import { afterAll, beforeAll, expect, test } from "vitest";
import { makeSheetsFile } from "../../../src/app/parts/sheets/worker/files.ts";
import type { SheetsOrder } from "../../../src/app/parts/sheets/worker/api.ts";
import { makePackFile } from "../../../src/app/work/worker/files.ts";
import type { PackOrder } from "../../../src/app/work/worker/api.ts";
import { NODE } from "../../../src/cli/work.ts";
import { Work } from "../../../src/work/work.ts";
import { contents, scratch, velarium } from "../../cli/run.ts";
import { demoJob } from "../demoJob.ts";

/**
 * Both shells, called as a person calls them: the command line writes its folders, and what the studio's workers make
 * of the same job (here with Node's solver and fonts) is held against every byte of them.
 */
const folder = scratch();
const written = new Map<string, Buffer>();
const work = new Work(NODE, 20);
const job = demoJob();
const how = { signal: new AbortController().signal, onProgress: () => Promise.resolve() };
const sheets = (order: SheetsOrder) => makeSheetsFile({ work, fonts: NODE.fonts }, job, order, how);
const packs = (order: PackOrder) => makePackFile(work, job, order, { ...how, changes: null });

beforeAll(async () => {
  for (const command of ["plan", "pack", "order"]) {
    const out = folder.path(command);
    const ran = await velarium([command, "demo/harbour-dining-room.velarium.json", "--out", out]);
    expect(ran.code, ran.err).toBe(0);
    for (const [name, bytes] of contents(out))
      if (name !== "files.sha256") written.set(command === "plan" ? name : `packs/${name}`, bytes);
  }
}, 240_000);
afterAll(() => folder.remove());

const sameList = (zip: Uint8Array, prefix: string): void => {
  const made = unzipSync(zip);
  const names = [...written.keys()].filter((name) => name.startsWith("packs/") === (prefix === "packs/"));
  expect(Object.keys(made).map((name) => prefix + name).sort()).toEqual(names.sort()); // prettier-ignore
  expect(names.length).toBeGreaterThan(8);
  const other = Object.entries(made).filter(([name, bytes]) => !written.get(prefix + name)!.equals(bytes));
  expect(other.map(([name]) => name)).toEqual([]);
};

test("the studio's archive of everything is what `velarium plan` writes, file by file, byte by byte", async () => {
  sameList((await sheets({ what: "everything" })).bytes, "");
}, 240_000);

test("its archive of packs is what `velarium pack` and `velarium order` write", async () => {
  sameList((await packs("everything")).bytes, "packs/");
}, 240_000);

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
