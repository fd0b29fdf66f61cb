import { existsSync, readdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { build } from "vite";

/** Where the built studio lies. */
export const STUDIO_FOLDER = "dist";

const SOURCES = [
  "src",
  "public",
  "catalog",
  "demo",
  "scripts/app",
  "index.html",
  "vite.config.ts",
  "svelte.config.js",
  "package-lock.json",
];

/** Builds the studio when something it is made from is newer than the last build; says whether it did. */
export async function buildStudioIfStale(): Promise<boolean> {
  const built = join(STUDIO_FOLDER, "index.html");
  if (existsSync(built) && newest(SOURCES) <= statSync(built).mtimeMs) return false;
  console.log("Building the studio, which takes some seconds.");
  await build({ logLevel: "warn" });
  return true;
}

function newest(paths: string[]): number {
  let latest = 0;
  for (const path of paths) {
    const found = statSync(path, { throwIfNoEntry: false });
    if (found === undefined) continue;
    const inside = found.isDirectory() ? newest(readdirSync(path).map((name) => join(path, name))) : 0;
    latest = Math.max(latest, found.mtimeMs, inside);
  }
  return latest;
}
