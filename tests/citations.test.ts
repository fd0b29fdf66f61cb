import { readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { describe, expect, test } from "vitest";

const WRITTEN = /\.(ts|js|svelte|py|css|html)$/;
const files = ["src", "tests", "scripts"].flatMap((folder) =>
  readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((name) => join(folder, name))
    .filter((name) => WRITTEN.test(name)),
);

/** Every document that goes with the repository. */
const documents = new Set(
  [".", "catalog"].flatMap((folder) => readdirSync(folder).filter((name) => name.endsWith(".md"))),
);

/** Documents named by a text, as `catalog/README.md`, that nobody who has the repository could open. */
function missingDocuments(text: string): string[] {
  const named = [...text.matchAll(/[\w./-]*\w\.md\b/g)].map(([name]) => name);
  const capitals = [...text.matchAll(/\b(?:DESIGN|TRADE)\b/g)].map(([name]) => name);
  return [...named.filter((name) => !documents.has(basename(name))), ...capitals];
}

describe("what source, tests and scripts cite can be read by whoever has the repository", () => {
  test("there is something to look at", () => expect(files.length).toBeGreaterThan(500));

  test("no document is named that is not here", () => {
    const own = "tests/citations.test.ts";
    const missing = files
      .filter((file) => file !== own)
      .flatMap((file) => missingDocuments(readFileSync(file, "utf8")).map((name) => `${file}: ${name}`));
    expect(missing).toEqual([]);
  });

  test("the rule finds what it forbids", () => {
    expect(missingDocuments("see DEVELOPERS.md, catalog/README.md")).toEqual([]);
    expect(missingDocuments("see NOWHERE.md, and TRADE 1b")).toEqual(["NOWHERE.md", "TRADE"]);
  });
});
