import { spawn } from "node:child_process";
import { once } from "node:events";
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
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
    expect([...contents(folder.path("a/b")).keys()]).toEqual([
      "files.sha256",
      "plan.json",
      "sheets/svg/A1.svg",
    ]);
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

  test("stopped half way, nothing stays and nothing more is made", async () => {
    const abort = new AbortController();
    let made = 0;
    function* many() {
      for (; made < 50; made++) {
        if (made === 20) abort.abort();
        yield { path: `sheets/${made}`, bytes: "x".repeat(10_000) };
      }
    }
    await expect(writeFolder(folder.path("a"), many(), { signal: abort.signal })).rejects.toThrow(/abort/i);
    expect(made).toBe(20);
    expect(folder.list()).toEqual([]);
  });

  test("only what we wrote is replaced: notes, photos and changed files refuse it, wherever they lie", async () => {
    await writeFolder(folder.path("a"), files("old"));
    const replace = () => writeFolder(folder.path("a"), files("new"), { replace: true });
    const putIn = [
      ["sheets/notes.txt", "tile D4: lamp rail", /sheets\/notes\.txt/],
      ["sheets/svg/photos", null, /sheets\/svg\/photos/],
      ["plan.json", "changed by hand", /plan\.json.*changed since/s],
    ] as const;
    for (const [path, text, words] of putIn) {
      const before = contents(folder.path("a"));
      if (text === null) mkdirSync(folder.path(`a/${path}`));
      else writeFileSync(folder.path(`a/${path}`), text);
      await expect(replace()).rejects.toThrow(words);
      await expect(checkFolder(folder.path("a"), true)).rejects.toThrow(words);
      if (text !== null) expect(readFileSync(folder.path(`a/${path}`), "utf8")).toBe(text);
      rmSync(folder.path(`a/${path}`), { recursive: true });
      if (before.has(path)) writeFileSync(folder.path(`a/${path}`), before.get(path)!);
    }
    writeFileSync(folder.path("a/sheets/.DS_Store"), "");
    await replace();
    expect(readFileSync(folder.path("a/plan.json"), "utf8")).toBe("new");
    expect(folder.list()).toEqual(["a"]);
  });

  test("a link in the place of a file of ours is not ours, whatever stands behind it", async () => {
    await writeFolder(folder.path("a"), files("old"));
    renameSync(folder.path("a/plan.json"), folder.path("kept.json"));
    symlinkSync(folder.path("kept.json"), folder.path("a/plan.json"));
    const replacing = writeFolder(folder.path("a"), files("new"), { replace: true });
    await expect(replacing).rejects.toThrow(/plan\.json/);
    expect(readFileSync(folder.path("kept.json"), "utf8")).toBe("old");
  });

  test("a folder without a list of ours is nobody's to take away", async () => {
    mkdirSync(folder.path("a"));
    writeFileSync(folder.path("a/plan.json"), "of an older Velarium");
    await expect(writeFolder(folder.path("a"), files("new"), { replace: true })).rejects.toThrow(/no list/);
  });

  test("what comes into the folder while the new one is made stays, and nothing is replaced", async () => {
    await writeFolder(folder.path("a"), files("old"));
    async function* slow() {
      yield* files("new");
      writeFileSync(folder.path("a/sheets/notes.txt"), "mine");
    }
    await expect(writeFolder(folder.path("a"), slow(), { replace: true })).rejects.toThrow(/notes\.txt/);
    expect(readFileSync(folder.path("a/plan.json"), "utf8")).toBe("old");
    expect(folder.list()).toEqual(["a"]);
  });

  test("files are asked for as they are written: no more than a handful is ever held", async () => {
    let most = 0;
    async function* many() {
      for (let made = 0; made < 100; made++) {
        const partial = folder.list().find((name) => name.includes("partial"))!;
        most = Math.max(most, made - readdirSync(folder.path(partial)).length);
        yield { path: `${made}.svg`, bytes: "a tile" };
      }
    }
    await writeFolder(folder.path("a"), many());
    expect(readdirSync(folder.path("a"))).toHaveLength(101);
    expect(most).toBeLessThanOrEqual(16);
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

describe("killed runs", () => {
  /** Runs a script of ours that writes folder `a`, and kills it once `when` is so. */
  async function killed(script: string, when: () => boolean): Promise<void> {
    const child = spawn(process.execPath, ["--import", "tsx", "--input-type=module", "--eval", script]);
    while (!when() && child.exitCode === null) await new Promise((done) => setTimeout(done, 5));
    child.kill("SIGKILL");
    await once(child, "close");
  }
  const script = (body: string): string =>
    `import { writeFolder } from "./src/cli/output.ts"; (async () => { ${body} })();`;
  const hidden = (word: string): boolean => folder.list().some((name) => name.endsWith(`velarium-${word}`));

  test("a half-written folder is removed at the next run", async () => {
    const at = JSON.stringify(folder.path("a"));
    await killed(
      script(`const files = async function* () { yield { path: "x", bytes: "1" }; await new Promise((r) => setTimeout(r, 1e5)); };
        await writeFolder(${at}, files());`),
      () => hidden("partial"),
    );
    expect(hidden("partial")).toBe(true);
    await checkFolder(folder.path("a"), false);
    expect(folder.list()).toEqual([]);
  });

  test("one at work on the same folder is left alone", async () => {
    async function* during() {
      yield* files("x");
      await checkFolder(folder.path("a"), false);
      expect(hidden("partial")).toBe(true);
    }
    await writeFolder(folder.path("a"), during());
    expect(existsSync(folder.path("a/plan.json"))).toBe(true);
  });

  test("killed while the old folder was aside: the new one gets the name at the next run", async () => {
    await writeFolder(folder.path("a"), files("old"));
    const at = JSON.stringify(folder.path("a"));
    // the second rename, which would give the new folder its name, never comes
    await killed(
      `import { createRequire } from "node:module";
       const fs = createRequire("/")("node:fs/promises"); const real = fs.rename; let calls = 0;
       fs.rename = (a, b) => (++calls === 2 ? new Promise((r) => setTimeout(r, 1e5)) : real(a, b));
       createRequire("/")("node:module").syncBuiltinESMExports();
       import("./src/cli/output.ts").then(({ writeFolder }) => writeFolder(${at}, [{ path: "plan.json", bytes: "new" }], { replace: true }));`,
      () => !existsSync(folder.path("a")),
    );
    expect([hidden("old"), hidden("partial"), existsSync(folder.path("a"))]).toEqual([true, true, false]);
    await expect(checkFolder(folder.path("a"), false)).rejects.toThrow(/already there/);
    expect(readFileSync(folder.path("a/plan.json"), "utf8")).toBe("new");
    expect(folder.list()).toEqual(["a"]);
  });
});

test("a new file never takes the place of another", async () => {
  await writeNewFile(folder.path("deep/job.json"), "one");
  await expect(writeNewFile(folder.path("deep/job.json"), "two")).rejects.toThrow(/already there/);
  expect(readFileSync(folder.path("deep/job.json"), "utf8")).toBe("one");
  expect([...contents(folder.path("deep")).keys()]).toEqual(["job.json"]);
});
