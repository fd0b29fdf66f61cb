import { spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";

const README = readFileSync("README.md", "utf8");
const folder = mkdtempSync(join(tmpdir(), "velarium-readme-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The commands of the first page as printed, long lines joined, those that run the command line. */
const commands = [...README.matchAll(/```\n([^]*?)```/g)]
  .flatMap(([, block]) => block!.replaceAll("\\\n", " ").split("\n"))
  .map((line) => line.trim())
  .filter((line) => line !== "");
const ours = commands.filter((line) => line.startsWith("npm run --silent velarium"));

test("every command line of the first page runs as printed, one after the other, in a clone of its own", () => {
  for (const part of [
    "src",
    "catalog",
    "package.json",
    "package-lock.json",
    "tsconfig.json",
    "demo",
    "scripts",
  ])
    cpSync(part, join(folder, part), { recursive: true });
  symlinkSync(join(process.cwd(), "node_modules"), join(folder, "node_modules"));
  expect(ours.length).toBeGreaterThan(8);
  for (const line of ours) {
    // the reader's own photographs, drawings and records are not in a clone
    const missing = [...line.matchAll(/\S+\.(jpg|dxf|record\.json)\b/g)].map(([name]) => name);
    if (missing.some((name) => !existsSync(join(folder, name)))) continue;
    const { status, stderr } = spawnSync("sh", ["-c", line], { cwd: folder, encoding: "utf8" });
    expect(status, `${line}\n${stderr.slice(-600)}`).toBe(0);
  }
}, 240_000);

test("the other commands of the first page are scripts of this project", () => {
  const { scripts } = JSON.parse(readFileSync("package.json", "utf8")) as { scripts: Record<string, string> };
  for (const line of commands.filter((line) => !ours.includes(line)))
    for (const part of line.split("&&").map((each) => each.trim())) {
      const [, run, named] = /^npm (ci$|run --silent (\S+)|run (\S+)|test|start)/.exec(part) ?? [];
      expect(run, `${line}: only npm's own words and this project's scripts stand there`).toBeDefined();
      const script = named ?? part.replace(/^npm (run )?/, "").split(" ")[0]!;
      if (part !== "npm ci") expect(Object.keys(scripts), part).toContain(script);
    }
});

test("the Node that the first page asks for is the one that the package does", () => {
  const { engines } = JSON.parse(readFileSync("package.json", "utf8")) as { engines: { node: string } };
  const [, least, last] = /Node (\d+\.\d+) to (\d+)/.exec(README) ?? [];
  expect(engines.node).toBe(`>=${least} <${Number(last) + 1}`);
});
