import { createHash } from "node:crypto";
import { readdir, readFile, rmdir, unlink } from "node:fs/promises";
import { basename, dirname, join, relative } from "node:path";

/** The list of a folder's files, as `sha256sum --check` reads it. Written last: where it is, the folder is whole. */
export const LIST_NAME = "files.sha256";

/** What file browsers leave behind; nobody misses it. */
const LITTER = new Set([".DS_Store", "Thumbs.db", "desktop.ini"]);
const LINE = /^([0-9a-f]{64}) [ *](.+)$/;

export const sha256 = (bytes: Uint8Array | string): string =>
  createHash("sha256").update(bytes).digest("hex");

/** The list of files by their place in the folder. */
export const listText = (sums: ReadonlyMap<string, string>): string =>
  [...sums].map(([path, sum]) => `${sum}  ${path}\n`).join("");

/**
 * What stands in a folder and is not as we wrote it: files and folders of others, and files that were changed
 * since. null where no list says what we wrote.
 */
export async function strangersIn(folder: string): Promise<string[] | null> {
  const sums = await readList(folder);
  if (sums === null) return null;
  const { files, folders } = await contentOf(folder);
  const ours = foldersOf(sums.keys());
  const strange = folders.filter((path) => !ours.has(path));
  for (const { path, plain } of files) {
    if (path === LIST_NAME || LITTER.has(basename(path))) continue;
    if (!plain || sums.get(path) !== sha256(await readFile(join(folder, path)))) strange.push(path);
  }
  return strange;
}

/** Deletes what the folder's list names, and every folder that this empties. */
export async function removeWritten(folder: string): Promise<void> {
  const sums = (await readList(folder)) ?? new Map<string, string>();
  for (const { path } of (await contentOf(folder)).files)
    if (sums.has(path) || path === LIST_NAME || LITTER.has(basename(path))) await unlink(join(folder, path));
  // the innermost first; one that holds something else stays, and so do those around it
  const folders = [...foldersOf(sums.keys())].sort((a, b) => b.length - a.length);
  for (const path of [...folders, ""]) await rmdir(join(folder, path)).catch(() => undefined);
}

async function readList(folder: string): Promise<Map<string, string> | null> {
  let text: string;
  try {
    text = await readFile(join(folder, LIST_NAME), "utf8");
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return null;
    throw error;
  }
  const sums = new Map<string, string>();
  for (const line of text.split("\n")) {
    const [, sum, path] = LINE.exec(line) ?? [];
    if (sum !== undefined && path !== undefined) sums.set(path, sum);
  }
  return sums;
}

async function contentOf(folder: string) {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const placed = entries.map((entry) => ({
    path: relative(folder, join(entry.parentPath, entry.name)).replaceAll("\\", "/"),
    plain: entry.isFile(),
    isFolder: entry.isDirectory(),
  }));
  return {
    files: placed.filter(({ isFolder }) => !isFolder),
    folders: placed.filter(({ isFolder }) => isFolder).map(({ path }) => path),
  };
}

/** Every folder that these files stand in. */
function foldersOf(paths: Iterable<string>): Set<string> {
  const folders = new Set<string>();
  for (const path of paths)
    for (let at = dirname(path); at !== "." && at !== "/"; at = dirname(at)) folders.add(at);
  return folders;
}
