import { existsSync, readdirSync, readFileSync } from "node:fs";
import { basename } from "node:path";
import { expect, test } from "vitest";
import { READS } from "../src/work/reads.ts";
import { TABLE } from "../src/work/table.ts";

const guide = readFileSync("DEVELOPERS.md", "utf8");
const inside = (folder: string): string[] => readdirSync(folder, { recursive: true, encoding: "utf8" });
const everything = new Set(["src", "tests", "scripts"].flatMap((folder) => inside(folder).map((name) => basename(name)))); // prettier-ignore

test("every file and folder that the guide names is there", () => {
  const named = [...guide.matchAll(/`((?:src|tests|scripts|catalog)\/[\w./-]*)`/g)].map(([, path]) => path!);
  expect(named.length).toBeGreaterThan(40);
  expect(named.filter((path) => !/NAME|N\./.test(path) && !existsSync(path))).toEqual([]);
  const files = [...guide.matchAll(/`([\w.]+\.(?:ts|svelte))`/g)].map(([, name]) => name!);
  expect(files.filter((name) => !everything.has(name))).toEqual([]);
});

test("every folder of src, every layer and part of the studio, and every worker has its line", () => {
  const missing = [
    ...readdirSync("src").map((name) => `src/${name}`).filter((path) => path !== "src/plan.ts"), // prettier-ignore
    ...inside("src/app").filter((name) => name.endsWith(".worker.ts")),
  ].filter((path) => !guide.includes(`\`${path}\``));
  expect(missing).toEqual([]);
});

test("every stage and printed thing has both halves of its row", () => {
  expect(Object.keys(TABLE).sort()).toEqual(Object.keys(READS).sort());
});
