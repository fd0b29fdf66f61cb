import { rmSync } from "node:fs";
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
import { dirname, join, normalize, resolve, sep } from "node:path";
import { CannotDo } from "../job/faults.ts";
import { beside, clearLeftovers, exists } from "./leftovers.ts";
import { LIST_NAME, listText, removeWritten, sha256, strangersIn } from "./written.ts";

/** A file to write, its path relative to the output folder, `/` between parts. */
export interface OutputFile {
  path: string;
  bytes: Uint8Array | string;
}

const WRITTEN_AT_ONCE = 16;
/** What a file system says that has no second names for a file, as on a memory stick. */
const NO_LINKS = new Set(["EPERM", "ENOTSUP", "EOPNOTSUPP", "ENOSYS"]);

/** Lets signals come in. */
export const pause = (): Promise<void> => new Promise((done) => setImmediate(done));

/** Where files of a folder come from: a list, or one after the other as they are made. */
export type OutputFiles = Iterable<OutputFile> | AsyncIterable<OutputFile>;

/**
 * Writes a folder whole or not at all: everything goes into a folder beside it, which then takes its name, with a
 * list of what was written (`files.sha256`). An existing folder is refused, unless empty, or `replace` is given
 * and it holds nothing but what such a list names, unchanged; then the old one steps aside, and comes back if the
 * new one can't take its place. Throws CannotDo.
 */
export async function writeFolder(
  folder: string,
  files: OutputFiles,
  options: { replace?: boolean; signal?: AbortSignal } = {},
): Promise<string> {
  return (await writeAndList(folder, files, options)).folder;
}

/** As `writeFolder`; gives the files too, which may have been made only while they were written. */
export async function writeAndList(
  folder: string,
  files: OutputFiles,
  options: { replace?: boolean; signal?: AbortSignal } = {},
): Promise<{ folder: string; files: string[] }> {
  const target = await freeTarget(folder, options.replace ?? false);
  const parent = dirname(target.path);
  const made = await mkdir(parent, { recursive: true });
  const partial = beside(target.path, "partial");
  try {
    await mkdir(partial);
    const sums = await writeAll(partial, files, options.signal);
    await writeFile(join(partial, LIST_NAME), listText(sums), { flag: "wx" });
    options.signal?.throwIfAborted();
    await takePlace(partial, target, folder);
    return { folder: target.path, files: [...sums.keys()] };
  } catch (error) {
    // in one go: a hall's files, one by one, take twice as long
    rmSync(partial, { recursive: true, force: true });
    if (made !== undefined) await removeEmpty(parent, made);
    throw error;
  }
}

/** Writes the files, some at once, and gives their checksums by their place in the folder. */
async function writeAll(
  partial: string,
  files: OutputFiles,
  signal: AbortSignal | undefined,
): Promise<Map<string, string>> {
  const sums = new Map<string, string>();
  const folders = new Set([partial]);
  const writing: Promise<void>[] = [];
  let failure: { error: unknown } | undefined;
  const check = (): void => {
    if (failure) throw failure.error;
    signal?.throwIfAborted();
  };
  try {
    for await (const { path, bytes } of files) {
      // making it took a while, and so may its sum: a wish to stop comes in before
      await pause();
      check();
      const at = join(partial, inside(path));
      if (!folders.has(dirname(at))) await mkdir(dirname(at), { recursive: true });
      folders.add(dirname(at));
      sums.set(path, sha256(bytes));
      writing.push(
        writeFile(at, bytes, { flag: "wx" }).catch((error: unknown) => void (failure ??= { error })),
      );
      if (writing.length === WRITTEN_AT_ONCE) await Promise.all(writing.splice(0));
      await pause();
      check();
    }
  } finally {
    // all come to rest before a failure is told: nothing may be written after the folder is taken away
    await Promise.all(writing);
  }
  check();
  return sums;
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
  await clearLeftovers(target);
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
    await link(partial, target).catch(async (error: NodeJS.ErrnoException) => {
      if (!NO_LINKS.has(error.code ?? "") || (await exists(target))) throw error;
      await rename(partial, target);
    });
    return target;
  } catch (error) {
    if (made !== undefined) {
      await rm(partial, { force: true });
      await removeEmpty(dirname(target), made);
    }
    if ((error as NodeJS.ErrnoException).code === "EEXIST") taken();
    throw error;
  } finally {
    await unlink(partial).catch(() => undefined);
  }
}

interface Target {
  path: string;
  state: "free" | "empty" | "full";
}

async function freeTarget(folder: string, replace: boolean): Promise<Target> {
  const path = (await exists(folder)) ? await realpath(folder) : resolve(folder);
  await clearLeftovers(path);
  if (!(await exists(path))) return { path, state: "free" };
  if (!(await lstat(path)).isDirectory()) {
    throw new CannotDo(`${folder} is a file, not a folder.`, "Choose another folder with --out.");
  }
  if ((await readdir(path)).length === 0) return { path, state: "empty" };
  if (!replace) {
    throw new CannotDo(
      `${folder} is already there and not empty.`,
      "Choose another folder, or add --replace.",
    );
  }
  await refuseStrangers(path, folder);
  return { path, state: "full" };
}

/** Only what we wrote is ever taken away. */
async function refuseStrangers(path: string, folder: string): Promise<void> {
  const strangers = await strangersIn(path);
  if (strangers === null) {
    throw new CannotDo(
      `${folder} has no list of what was written into it (${LIST_NAME}), so nothing in it is taken away.`,
      "Look through it and move it elsewhere, or choose another folder with --out.",
    );
  }
  if (strangers.length === 0) return;
  const more = strangers.length > 5 ? ` and ${strangers.length - 5} more` : "";
  throw new CannotDo(
    `${folder} also holds ${strangers.slice(0, 5).join(", ")}${more}: added or changed since it was written.`,
    "Move that elsewhere, or choose another folder with --out.",
  );
}

/** A full folder steps aside first. Killed between the two steps, the next run finishes it (`clearLeftovers`). */
async function takePlace(partial: string, target: Target, folder: string): Promise<void> {
  if (target.state === "empty") await rmdir(target.path);
  if (target.state !== "full") return rename(partial, target.path);
  // making the new one took a while: somebody may have put something there
  await refuseStrangers(target.path, folder);
  const old = beside(target.path, "old");
  await rename(target.path, old);
  try {
    await rename(partial, target.path);
  } catch (error) {
    await rename(old, target.path);
    throw error;
  }
  // the new one stands; what can't be removed of the old one goes at the next run
  await removeWritten(old).catch(() => undefined);
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
