import { execFileSync, spawn, spawnSync } from "node:child_process";
import {
  closeSync,
  existsSync,
  mkdirSync,
  openSync,
  readFileSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { getSystemErrorMap } from "node:util";
import { afterAll, beforeAll, describe, expect, onTestFinished, test, vi } from "vitest";
import { report } from "../../src/cli/shell.ts";
import { sampleJob } from "../job/sample.ts";
import { scratch, velarium, type Ran } from "./run.ts";

const folder = scratch();
const job = folder.path("room.velarium.json");
const mounts: string[] = [];
beforeAll(() => writeFileSync(job, JSON.stringify(sampleJob())));
afterAll(() => {
  for (const at of mounts) spawnSync("umount", [at]);
  folder.remove();
});

/** A file system of its own; null where this system lets nobody mount. */
function disk(name: string, options: string): string | null {
  const at = folder.path(name);
  mkdirSync(at);
  if (spawnSync("mount", ["-t", "tmpfs", "-o", options, "tmpfs", at]).status !== 0) return null;
  mounts.push(at);
  return at;
}
const full = disk("full", "size=64k");
const readOnly = disk("read-only", "size=64k,ro");
if (full === null) console.warn("Skipped: no file system can be mounted here, so none can be filled up.");

/** Words for a person: no stack, nobody told that the program is at fault for what the disk does. */
function expectWords({ code, err }: Ran, words: RegExp): void {
  expect(err).toMatch(words);
  expect(err).not.toMatch(/\n\s+at |Unhandled|node:internal|stumbled/);
  expect(code).toBe(1);
}

const WAYS: [string, (out: string) => string[]][] = [
  ["plan", (at) => ["plan", job, "--out", `${at}/made`]],
  ["skysheet", (at) => ["skysheet", job, "--out", `${at}/made.pdf`]],
  ["scene", (at) => ["scene", job, "--size", "200x120", "--out", `${at}/made.png`]],
  ["nights", (at) => ["nights", job, "--date", "2031-02-14", "--with", "Orion", "--out", `${at}/made.json`]],
  [
    "new",
    (at) => [
      ...["new", `${at}/made.velarium.json`, "--room", "3x2.4m", "--module", "600x600"],
      ...["--at", "51.5, 10.2", "--time", "2031-02-14T21:00", "--strands", "100x0.75"],
    ],
  ],
];

describe.skipIf(full === null)("a disk that is full or can't be written to", () => {
  test.each(WAYS)("%s says so in words and leaves nothing", async (_, args) => {
    const filled = openSync(`${full}/filler`, "w");
    try {
      for (;;) writeFileSync(filled, new Uint8Array(4096));
    } catch {
      closeSync(filled);
    }
    const [tooFull, notWritten] = await Promise.all([velarium(args(full!)), velarium(args(readOnly!))]);
    expectWords(tooFull, /The disk is full/);
    expectWords(notWritten, /can only be read/);
    expect(execFileSync("ls", ["-A", full!], { encoding: "utf8" })).toBe("filler\n");
  });
});

test("whatever a system refuses (Node's list of its errors), no program is said to be at fault for it", () => {
  const said = vi.spyOn(process.stderr, "write").mockReturnValue(true);
  onTestFinished(() => said.mockRestore());
  const codes = [...getSystemErrorMap().values()].map(([code]) => code);
  for (const code of codes) {
    const refused = Object.assign(new Error(`${code}: refused, open '/made'`), {
      code,
      syscall: "open",
      path: "/made",
    });
    expect(report(refused, false), code).toBe(1);
  }
  const words = said.mock.calls.map(([text]) => String(text));
  expect(words).toHaveLength(codes.length);
  for (const text of words) expect(text).not.toMatch(/mistake in the program|\n\s+at |undefined|WHERE/);
  for (const [code, plain] of [
    ["ENOTEMPTY", /put into \/made meanwhile/],
    ["ELOOP", /circle of links/],
    ["EIO", /disk reports an error at \/made/],
    ["EACCES", /No permission to write \/made/],
  ] as const)
    // prettier-ignore
    expect(words[codes.indexOf(code)]).toMatch(plain);
});

describe("what is no job file", () => {
  test.each([
    // 100 MB come through a pipe: an endless one would take all memory where nothing limits it
    ["an endless special file", folder.path("pipe"), /at most 8\.0 MB\n.*\b8\.[01] MB/],
    ["a folder", folder.path("."), /a folder/],
    ["a circle of links", folder.path("loop"), /circle/],
  ] as const)("%s is refused in words", async (_, file, words) => {
    if (file.endsWith("loop")) symlinkSync(file, file);
    if (file.endsWith("pipe"))
      spawn("bash", ["-c", 'mkfifo "$0" && head -c 100000000 /dev/zero > "$0"', file]);
    if (file.endsWith("pipe")) await expect.poll(() => existsSync(file)).toBe(true);
    const { code, err } = await velarium(["check", file]);
    expect(err).toMatch(words);
    expect(err).not.toMatch(/stumbled|\n\s+at /);
    expect(code).toBe(2);
  });

  test("a job may come through a pipe", () => {
    const words = spawnSync(
      "bash",
      ["-c", `cat "${job}" | ${process.execPath} scripts/velarium.js check /dev/stdin`],
      { encoding: "utf8" },
    );
    expect(words.status).toBe(0);
    expect(words.stderr).not.toMatch(/expected|Error/);
  });

  test("130,000 unknown keys are told in a few lines, and planned all the same", async () => {
    const many = Object.fromEntries(
      // the first is very long: lines have a limit too
      Array.from({ length: 130_000 }, (_, i) => [`key ${i} ${"x".repeat(i === 0 ? 1e6 : 30)}`, i]),
    );
    const file = folder.path("many.velarium.json");
    writeFileSync(file, JSON.stringify({ ...sampleJob(), ...many }));
    const checked = await velarium(["check", file]);
    expect(checked.code, checked.err.slice(0, 300)).toBe(0);
    expect(checked.err.length).toBeLessThan(20_000);
    expect(checked.err).toMatch(/and 1299\d\d more warnings/);
    const planned = await velarium(["plan", file, "--out", folder.path("many")]);
    expect(planned.code, planned.err.slice(0, 300)).toBe(0);
    expect(existsSync(folder.path("many/holes.csv"))).toBe(true);
  });

  test("check refuses a label sheet that pack would refuse", async () => {
    const file = folder.path("labels.velarium.json");
    writeFileSync(file, JSON.stringify({ ...sampleJob(), bundles: { labels: { sheet: "stamps" } } }));
    const { code, err } = await velarium(["check", file]);
    expect(code).toBe(2);
    expect(err).toMatch(/bundles\.labels\.sheet/);
  });
});

test("what was written can be checked with sha256sum", async () => {
  const out = folder.path("sums");
  expect((await velarium(["plan", job, "--out", out])).code).toBe(0);
  const checked = spawnSync("sha256sum", ["--check", "--strict", "--quiet", "files.sha256"], { cwd: out });
  expect(checked.status, checked.stderr.toString()).toBe(0);
  const listed = readFileSync(`${out}/files.sha256`, "utf8").trim().split("\n").length;
  expect(Number(execFileSync("bash", ["-c", `find "${out}" -type f | wc -l`]))).toBe(listed + 1);
});
