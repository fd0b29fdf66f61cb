import { createHash, randomBytes } from "node:crypto";
import { lstat, readdir, rename, rm } from "node:fs/promises";
import { hostname } from "node:os";
import { basename, dirname, join } from "node:path";
import { LIST_NAME, removeWritten } from "./written.ts";

/** No run lasts so long: what is older was left by one that was killed. */
const DEAD_MS = 86_400_000;
const HOST = createHash("sha256").update(hostname()).digest("hex").slice(0, 6);
const NAME = /^\.(.+)\.([0-9a-f]{6})-(\d+)-[0-9a-f]{8}\.velarium-(partial|old)$/;

/** A hidden name beside `path`, which tells whose it is: what a killed run left can be told from one still at work. */
export function beside(path: string, word: "partial" | "old"): string {
  const mark = `${HOST}-${process.pid}-${randomBytes(4).toString("hex")}`;
  return join(dirname(path), `.${basename(path)}.${mark}.velarium-${word}`);
}

/**
 * Puts in order what killed runs left where `path` is to be. A run that was killed between taking the old folder
 * away and giving the new one its name is finished; what was half written goes.
 */
export async function clearLeftovers(path: string): Promise<void> {
  const parent = dirname(path);
  const names = await readdir(parent).catch(() => [] as string[]);
  const left: Record<"partial" | "old", string[]> = { partial: [], old: [] };
  for (const name of names) {
    const [, of, host, pid, word] = NAME.exec(name) ?? [];
    if (of === basename(path) && (await isDead(join(parent, name), host!, Number(pid))))
      left[word as "partial" | "old"].push(join(parent, name));
  }
  if (left.old.length > 0 && !(await exists(path))) {
    const whole = await firstOf(left.partial, (it) => exists(join(it, LIST_NAME)));
    const back = whole ?? left.old.shift()!;
    await rename(back, path);
    left.partial = left.partial.filter((it) => it !== whole);
  }
  for (const old of left.old) await removeWritten(old);
  for (const partial of left.partial) await rm(partial, { recursive: true, force: true });
}

async function isDead(path: string, host: string, pid: number): Promise<boolean> {
  if (host === HOST && pid !== process.pid && !isRunning(pid)) return true;
  const found = await lstat(path).catch(() => null);
  return found !== null && Date.now() - found.mtimeMs > DEAD_MS;
}

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== "ESRCH";
  }
}

async function firstOf(paths: string[], is: (path: string) => Promise<boolean>): Promise<string | undefined> {
  for (const path of paths) if (await is(path)) return path;
  return undefined;
}

export function exists(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    (error: NodeJS.ErrnoException) => {
      if (error.code === "ENOENT") return false;
      throw error;
    },
  );
}
