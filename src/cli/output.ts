import { randomBytes } from "node:crypto";
import {
  access,
  constants,
  link,
  lstat,
  mkdir,
  readdir,
  realpath,
  rename,
  rm,
  rmdir,
  unlink,
  writeFile,
} from "node:fs/promises";
import { basename, dirname, join, normalize, resolve, sep } from "node:path";
import { CannotDo } from "../job/faults.ts";

/** A file to write, its path relative to the output folder, `/` between parts. */
export interface OutputFile {
  path: string;
  bytes: Uint8Array | string;
}

const WRITTEN_AT_ONCE = 16;

/** What file browsers leave behind; nobody misses it. */
const LITTER = new Set([".DS_Store", "Thumbs.db", "desktop.ini"]);

/**
 * Writes a folder whole or not at all: everything goes into a folder beside it, which then takes its name.
 * An existing folder is refused, unless empty, or `replace` is given and it holds nothing that the new one
 * has not; then the old one steps aside, and comes back if the new one can't take its place. Throws CannotDo.
 */
export async function writeFolder(
  folder: string,
  files: readonly OutputFile[],
  options: { replace?: boolean; signal?: AbortSignal } = {},
): Promise<string> {
  const entries = new Set(files.map((file) => file.path.split("/")[0] as string));
  const target = await freeTarget(folder, options.replace ?? false, entries);
  const parent = dirname(target.path);
  const made = await mkdir(parent, { recursive: true });
  const partial = beside(target.path, "partial");
  try {
    await mkdir(partial);
    const paths = files.map((file) => join(partial, inside(file.path)));
    for (const directory of new Set(paths.map((path) => dirname(path))))
      await mkdir(directory, { recursive: true });
    for (let from = 0; from < files.length; from += WRITTEN_AT_ONCE) {
      options.signal?.throwIfAborted();
      const some = files.slice(from, from + WRITTEN_AT_ONCE);
      const written = some.map((file, i) => writeFile(paths[from + i]!, file.bytes, { flag: "wx" }));
      // all come to rest before one's failure is told: nothing may be written after the folder is taken away
      const failed = (await Promise.allSettled(written)).find((it) => it.status === "rejected");
      if (failed) throw failed.reason;
    }
    options.signal?.throwIfAborted();
    await takePlace(partial, target);
    return target.path;
  } catch (error) {
    await rm(partial, { recursive: true, force: true });
    if (made !== undefined) await removeEmpty(parent, made);
    throw error;
  }
}

/** Refuses early what `writeFolder` would refuse late, before any work is done. */
export async function checkFolder(folder: string, replace: boolean): Promise<void> {
  const target = await freeTarget(folder, replace);
  let parent = dirname(target.path);
  while (!(await exists(parent)) && parent !== dirname(parent)) parent = dirname(parent);
  await access(parent, constants.W_OK | constants.X_OK);
}

/** Writes one new file whole or not at all; never over an existing one. Throws CannotDo. */
export async function writeNewFile(path: string, bytes: Uint8Array | string): Promise<string> {
  const target = resolve(path);
  const partial = beside(target, "partial");
  const taken = (): never => {
    throw new CannotDo(
      `${path} is already there.`,
      "Choose another name; an existing file is never overwritten.",
    );
  };
  if (await exists(target)) taken();
  const made = await mkdir(dirname(target), { recursive: true });
  try {
    await writeFile(partial, bytes, { flag: "wx" });
    // link refuses an existing name in the same instant, rename would overwrite it
    await link(partial, target);
    return target;
  } catch (error) {
    if (made !== undefined) {
      await rm(partial, { force: true });
      await removeEmpty(dirname(target), made);
    }
    return (error as NodeJS.ErrnoException).code === "EEXIST" ? taken() : Promise.reject(error as Error);
  } finally {
    await unlink(partial).catch(() => undefined);
  }
}

interface Target {
  path: string;
  state: "free" | "empty" | "full";
}

async function freeTarget(folder: string, replace: boolean, entries?: ReadonlySet<string>): Promise<Target> {
  const path = (await exists(folder)) ? await realpath(folder) : resolve(folder);
  if (!(await exists(path))) return { path, state: "free" };
  if (!(await lstat(path)).isDirectory()) {
    throw new CannotDo(`${folder} is a file, not a folder.`, "Choose another folder with --out.");
  }
  const content = await readdir(path);
  if (content.length === 0) return { path, state: "empty" };
  if (!replace) {
    throw new CannotDo(
      `${folder} is already there and not empty.`,
      "Choose another folder, or add --replace.",
    );
  }
  const strangers = entries ? content.filter((name) => !entries.has(name) && !LITTER.has(name)) : [];
  if (strangers.length > 0) {
    throw new CannotDo(
      `${folder} also holds ${strangers.slice(0, 3).join(", ")}${strangers.length > 3 ? " and more" : ""}, ` +
        "which is not part of what would take its place.",
      "Move that elsewhere, or choose another folder with --out.",
    );
  }
  return { path, state: "full" };
}

async function takePlace(partial: string, target: Target): Promise<void> {
  if (target.state === "empty") await rmdir(target.path);
  if (target.state !== "full") return rename(partial, target.path);
  const old = beside(target.path, "old");
  await rename(target.path, old);
  try {
    await rename(partial, target.path);
  } catch (error) {
    await rename(old, target.path);
    throw error;
  }
  await rm(old, { recursive: true, force: true });
}

function beside(path: string, word: string): string {
  return join(dirname(path), `.${basename(path)}.${randomBytes(4).toString("hex")}.velarium-${word}`);
}

function inside(path: string): string {
  const clean = normalize(path);
  if (clean.startsWith("..") || clean.startsWith(sep) || /^[a-z]:/i.test(clean)) {
    throw new Error(`a file was to be written outside the folder: ${path}`);
  }
  return clean;
}

async function removeEmpty(from: string, upTo: string): Promise<void> {
  for (let path = from; path.startsWith(upTo); path = dirname(path)) {
    try {
      await rmdir(path);
    } catch {
      return;
    }
  }
}

async function exists(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    (error: NodeJS.ErrnoException) => {
      if (error.code === "ENOENT") return false;
      throw error;
    },
  );
}
