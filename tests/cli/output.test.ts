import { mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import * as fs from "node:fs/promises";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { checkFolder, writeFolder, writeNewFile } from "../../src/cli/output.ts";
import { contents, scratch } from "./run.ts";

// only rename can be told to fail; everything else is the real file system
vi.mock("node:fs/promises", async (original) => {
  const real = await original<typeof fs>();
  return { ...real, rename: vi.fn(real.rename) };
});

let folder: ReturnType<typeof scratch>;
beforeEach(() => (folder = scratch()));
afterEach(() => {
  vi.mocked(fs.rename).mockReset();
  folder.remove();
});

const files = (text: string) => [
  { path: "plan.json", bytes: text },
  { path: "sheets/svg/A1.svg", bytes: new TextEncoder().encode(text) },
];
const broken = [...files("new"), { path: "plan.json/impossible", bytes: "" }];

describe("a folder is written whole or not at all", () => {
  test("with folders inside, and parents made", async () => {
    await writeFolder(folder.path("a/b"), files("one"));
    expect([...contents(folder.path("a/b")).keys()]).toEqual(["plan.json", "sheets/svg/A1.svg"]);
  });

  test("a write that fails leaves nothing, not even the parents it made", async () => {
    await expect(writeFolder(folder.path("a/b"), broken)).rejects.toThrow();
    expect(folder.list()).toEqual([]);
  });

  test("a write that fails leaves the old folder as it was", async () => {
    await writeFolder(folder.path("a"), files("old"));
    await expect(writeFolder(folder.path("a"), broken, { replace: true })).rejects.toThrow();
    expect(folder.list()).toEqual(["a"]);
    expect(readFileSync(folder.path("a/plan.json"), "utf8")).toBe("old");
  });

  test("if the new one can't take the old one's place, the old one comes back", async () => {
    await writeFolder(folder.path("a"), files("old"));
    const rename = vi.mocked(fs.rename).mockClear();
    rename
      .mockImplementationOnce(async (from, to) => renameSync(from, to))
      .mockRejectedValueOnce(Object.assign(new Error("full"), { code: "ENOSPC" }));
    await expect(writeFolder(folder.path("a"), files("new"), { replace: true })).rejects.toThrow("full");
    expect(rename).toHaveBeenCalledTimes(3);
    expect(folder.list()).toEqual(["a"]);
    expect(readFileSync(folder.path("a/plan.json"), "utf8")).toBe("old");
  });

  test("stopped half way, nothing stays", async () => {
    const abort = new AbortController();
    const many = files("x").concat(
      Array.from({ length: 50 }, (_, i) => ({ path: `sheets/${i}`, bytes: "x".repeat(10_000) })),
    );
    const writing = writeFolder(folder.path("a"), many, { signal: abort.signal });
    setImmediate(() => abort.abort());
    await expect(writing).rejects.toThrow(/abort/i);
    expect(folder.list()).toEqual([]);
  });

  test("an empty folder is taken, a strange file is not swept away, a path never leads out", async () => {
    mkdirSync(folder.path("empty"));
    await writeFolder(folder.path("empty"), files("x"));
    writeFileSync(folder.path("empty/letter.txt"), "mine");
    await expect(writeFolder(folder.path("empty"), files("y"), { replace: true })).rejects.toThrow(
      /letter\.txt/,
    );
    await expect(writeFolder(folder.path("b"), [{ path: "../out", bytes: "" }])).rejects.toThrow(/outside/);
    await expect(writeFolder(folder.path("b"), [{ path: "/etc/out", bytes: "" }])).rejects.toThrow(/outside/);
    expect(folder.list()).toEqual(["empty"]);
  });

  test("what would be refused is refused before any work", async () => {
    await checkFolder(folder.path("not/yet/there"), false);
    await writeFolder(folder.path("a"), files("x"));
    await expect(checkFolder(folder.path("a"), false)).rejects.toThrow(/--replace|already there/);
    await checkFolder(folder.path("a"), true);
  });
});

test("a new file never takes the place of another", async () => {
  await writeNewFile(folder.path("deep/job.json"), "one");
  await expect(writeNewFile(folder.path("deep/job.json"), "two")).rejects.toThrow(/already there/);
  expect(readFileSync(folder.path("deep/job.json"), "utf8")).toBe("one");
  expect([...contents(folder.path("deep")).keys()]).toEqual(["job.json"]);
});
