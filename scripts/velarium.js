// Starts the command line: npm run --silent velarium -- help
// Turning TypeScript into JavaScript at every start would cost more than most commands take, so that the
// outcome is kept in build/cli and made anew when a source is newer.
import { mkdirSync, readdirSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { setFlagsFromString } from "node:v8";

const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
/** Two folders deep like src/cli, which finds catalog/ relative to itself. */
const BUILT = join(ROOT, "build", "cli");
const MAIN = join(BUILT, "main.js");
/** Pieces of an earlier build may still be wanted by a command that is running. */
const KEPT_MS = 3_600_000;

const timeOf = (path) => statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;

if (newest(["src", "package-lock.json"]) > timeOf(MAIN)) {
  try {
    await build();
  } catch (error) {
    console.error(`The command could not be made ready in ${BUILT}: ${error.message}`);
    console.error("  Let this folder be written to, or run: npx tsx src/cli/main.ts");
    process.exit(1);
  }
}
// A command runs for seconds at most: plain machine code soon, and optimise only what has run three times as long as
// Node waits by itself. A tenth less work, most of it the optimiser's.
setFlagsFromString("--sparkplug");
setFlagsFromString("--interrupt-budget=400000");
// Collect garbage when there is as much of it as of what is held, not three times as much: a hall then takes half the memory.
setFlagsFromString("--heap-growing-percent=100");
if (process.env.VELARIUM_DEBUG) process.setSourceMapsEnabled(true);
await import(pathToFileURL(MAIN).href);

/** @param {string[]} names of files and folders @returns {number} when the newest of them was changed */
function newest(names) {
  let latest = 0;
  for (const name of names) {
    const found = statSync(join(ROOT, name));
    const inside = found.isDirectory()
      ? newest(readdirSync(join(ROOT, name)).map((entry) => join(name, entry)))
      : 0;
    latest = Math.max(latest, found.mtimeMs, inside);
  }
  return latest;
}

async function build() {
  const started = Date.now();
  const esbuild = await import("esbuild");
  const { outputFiles } = await esbuild.build({
    absWorkingDir: ROOT,
    entryPoints: ["src/cli/main.ts"],
    outdir: BUILT,
    bundle: true,
    splitting: true,
    format: "esm",
    platform: "node",
    packages: "external",
    sourcemap: true,
    write: false,
    logLevel: "error",
  });
  mkdirSync(BUILT, { recursive: true });
  // main.js last and in one step: whoever starts meanwhile finds either build whole
  const last = (path) => (basename(path) === "main.js" ? 1 : 0);
  for (const { path, contents } of outputFiles.toSorted((a, b) => last(a.path) - last(b.path))) {
    const partial = `${path}.${process.pid}.partial`;
    writeFileSync(partial, contents);
    // as old as the sources that were read: one that changes meanwhile is newer
    utimesSync(partial, started / 1000, started / 1000);
    renameSync(partial, path);
  }
  const wanted = new Set(outputFiles.map(({ path }) => basename(path)));
  for (const name of readdirSync(BUILT)) {
    // another process building at the same time may have named its file by now
    if (!wanted.has(name) && timeOf(join(BUILT, name)) < started - KEPT_MS)
      rmSync(join(BUILT, name), { force: true });
  }
}
