import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { JOB_VERSION } from "../../src/job/schema.ts";
import type { OutFile } from "../../src/sheets/files.ts";
import { engineOf } from "../../src/bundles/bundles.ts";
import { holesCsv } from "../../src/sheets/tables.ts";
import { choose } from "../../src/work/stage.ts";
import { work, workedOut } from "./support.ts";

const FOLDER = new URL("../job/kept/", import.meta.url);
/** Jobs issued by an older program, each beside the sums of what it printed for the issued tiles. */
const KEPT = readdirSync(FOLDER).filter((name) => name.endsWith(".issued.json"));

const textOf = (files: readonly OutFile[], path: string): string => {
  const found = files.find((file) => file.path === path);
  if (!found) throw new Error(`${path} was not written`);
  return typeof found.bytes === "string" ? found.bytes : new TextDecoder().decode(found.bytes);
};

/** Lines of a table about some tiles, without its head: columns may be added, what stands in these must not change. */
const about = (csv: string, column: number, tiles: ReadonlySet<string>): string =>
  csv
    .split("\n")
    .filter((line) => tiles.has(line.split(",")[column] ?? ""))
    .join("\n");

/** Where the holes of a tile's template are, and how wide: their circles, in their order. What stands round them may be drawn otherwise. */
const holesIn = (svg: string): string =>
  [...svg.matchAll(/<g class="HOLES-[\d.]+">\s*<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"/g)]
    .map(([, x, y, r]) => `${x} ${y} ${r}`)
    .join("\n");

/** The same of its DXF: circles on the layers of holes, by centre and radius (group codes 10, 20, 40). */
const circlesIn = (dxf: string): string =>
  dxf
    .split(/^ *0\r?$/m)
    .flatMap((entity) => {
      const code = (n: number) => new RegExp(`^ *${n}\\r?\\n(.*?)\\r?$`, "m").exec(entity)?.[1];
      return /^\s*CIRCLE\s/.test(entity) && /^HOLES-/.test(code(8) ?? "") ? [`${code(10)} ${code(20)} ${code(40)}`] : []; // prettier-ignore
    })
    .join("\n");

const sum = (text: string): string => createHash("sha256").update(text).digest("hex");

async function printed(file: string): Promise<Record<string, string>> {
  const { job } = checkJob(readFileSync(new URL(file, FOLDER)));
  const chosen = choose(job);
  const tiles = new Set(job.issued!.tiles.map(({ tile }) => tile));
  const { plan, bundles } = await workedOut(job);
  const tables = await work.print(chosen, "bundleFiles", {});
  // every fifth tile: drawing them all takes long
  const some = [...tiles].filter((_, i) => i % 5 === 0);
  const own: OutFile[] = [];
  for await (const one of await work.print(chosen, "sheets", { tiles: some, sides: ["back", "face"] }))
    if (/^sheets\/(svg|dxf)\//.test(one.path)) own.push(one);
  const drawn = (kind: string, read: (text: string) => string): string => {
    const marks = own.filter(({ path }) => path.endsWith(kind)).map(({ path }) => read(textOf(own, path)));
    expect(marks).toHaveLength(2 * some.length);
    expect(marks.every((text) => text !== "")).toBe(true);
    return sum(marks.join("\n\n"));
  };
  return {
    "holes.csv": sum(about(holesCsv(plan, engineOf(bundles)), 1, tiles)),
    "strands.csv": sum(about(textOf(tables, "strands.csv"), 1, tiles)),
    templates: drawn(".svg", holesIn),
    dxf: drawn(".dxf", circlesIn),
  };
}

describe("a job that an older program issued", () => {
  test("there is one of each version since jobs can be issued", () => {
    const versions = KEPT.map((name) => Number(/\d+/.exec(name)![0]));
    // version 5 is the first in which a job can be issued
    expect(versions).toEqual(Array.from({ length: JOB_VERSION - 4 }, (_, i) => 5 + i));
  });

  test.each(KEPT)("%s: the same holes, strands and marks to the byte", { timeout: 60_000 }, async (name) => {
    const sums = JSON.parse(readFileSync(new URL(name, FOLDER), "utf8")) as Record<string, string>;
    expect(await printed(name.replace(".issued.json", ".velarium.json"))).toMatchObject(sums);
  });
});
