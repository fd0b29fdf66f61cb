import { spawn } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const ROOT = resolve(import.meta.dirname, "../..");
const VELARIUM = join(ROOT, "scripts/velarium.js");

export interface Ran {
  code: number | null;
  out: string;
  err: string;
}

/** Runs the real command in its own process; `onStart` gets the process id. */
export function velarium(
  args: string[],
  options: { cwd?: string; onStart?: (pid: number) => void } = {},
): Promise<Ran> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, [VELARIUM, ...args], { cwd: options.cwd ?? ROOT });
    let out = "";
    let err = "";
    child.stdout.on("data", (bytes: Buffer) => (out += bytes.toString()));
    child.stderr.on("data", (bytes: Buffer) => (err += bytes.toString()));
    child.on("error", fail);
    child.on("close", (code) => done({ code, out, err }));
    if (child.pid !== undefined) options.onStart?.(child.pid);
  });
}

/** A folder of its own for one test file. */
export function scratch(): { path: (name: string) => string; list: () => string[]; remove: () => void } {
  const folder = mkdtempSync(join(tmpdir(), "velarium-test-"));
  return {
    path: (name) => join(folder, name),
    list: () => readdirSync(folder).sort(),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** Every file below a folder: path inside it and bytes. */
export function contents(folder: string): Map<string, Buffer> {
  const names = readdirSync(folder, { recursive: true, encoding: "utf8" }).sort();
  return new Map(
    names
      .filter((name) => statSync(join(folder, name)).isFile())
      .map((name) => [name, readFileSync(join(folder, name))]),
  );
}
