import { cpSync, existsSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { spawnSync } from "node:child_process";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";

const folder = mkdtempSync(join(tmpdir(), "velarium-start-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The command of a checkout of its own. */
const start = (...args: string[]) =>
  spawnSync(process.execPath, ["scripts/velarium.js", ...args], { cwd: folder, encoding: "utf8" });

test("the command is made ready when it is first wanted, and anew when a source changes", () => {
  for (const part of ["src", "catalog", "package.json", "package-lock.json", "tsconfig.json"])
    cpSync(part, join(folder, part), { recursive: true });
  cpSync("scripts/velarium.js", join(folder, "scripts/velarium.js"));
  symlinkSync(join(process.cwd(), "node_modules"), join(folder, "node_modules"));

  expect(start("--version")).toMatchObject({ status: 0, stdout: "0.1.0\n" });
  expect(existsSync(join(folder, "build/cli/main.js"))).toBe(true);
  const program = join(folder, "src/cli/main.ts");
  writeFileSync(program, 'console.log("changed");\n');
  expect(start("--version")).toMatchObject({ status: 0, stdout: "changed\n" });
  writeFileSync(program, "this is no program");
  const broken = start("--version");
  expect(broken.status).toBe(1);
  expect(broken.stderr).toContain("could not be made ready");
  expect(broken.stderr).not.toContain("    at ");
});
