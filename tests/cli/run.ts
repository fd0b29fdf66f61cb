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

let last: Promise<unknown> = Promise.resolve();

/**
 * Runs the command as `npm run velarium` does, but in this process: what the start of a process adds is tested by itself
 * (start.test.ts, kills.test.ts, the first page's commands). One at a time, as they share the process's own output.
 */
export function velarium(args: string[]): Promise<Ran> {
  const ran = last.then(() => listened(args));
  last = ran.catch(() => undefined);
  return ran;
}

async function listened(args: string[]): Promise<Ran> {
  const { main } = await import("../../src/cli/program.ts");
  const said = { stdout: "", stderr: "" };
  const write = { stdout: process.stdout.write, stderr: process.stderr.write };
  for (const name of ["stdout", "stderr"] as const)
    process[name].write = (text: string | Uint8Array): boolean => {
      said[name] += String(text);
      return true;
    };
  const before = process.exitCode;
  process.exitCode = undefined;
  try {
    await main(args);
    return { code: Number(process.exitCode ?? 0), out: said.stdout, err: said.stderr };
  } finally {
    process.exitCode = before;
    Object.assign(process.stdout, { write: write.stdout });
    Object.assign(process.stderr, { write: write.stderr });
  }
}

/** Runs the real command in its own process; `onStart` gets the process id. */
export function velariumProcess(args: string[], onStart?: (pid: number) => void): Promise<Ran> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, [VELARIUM, ...args], { cwd: ROOT });
    let out = "";
    let err = "";
    child.stdout.on("data", (bytes: Buffer) => (out += bytes.toString()));
    child.stderr.on("data", (bytes: Buffer) => (err += bytes.toString()));
    child.on("error", fail);
    child.on("close", (code) => done({ code, out, err }));
    if (child.pid !== undefined) onStart?.(child.pid);
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
