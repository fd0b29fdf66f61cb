// npm run bench [part ...]: DEVELOPERS.md's "Numbers to hold", measured here and now, each beside a reference.
import { spawnSync } from "node:child_process";
import type { BenchLine } from "./bench/measure.ts";

const PARTS: Record<string, () => Promise<BenchLine[]>> = {
  sky: async () => (await import("./bench/sky.ts")).benchSky(),
  whole: async () => (await import("./bench/whole.ts")).benchWhole(),
  hall: async () => (await import("./bench/hall.ts")).benchHall(),
  sheets: async () => (await import("./bench/sheets.ts")).benchSheets(),
  likeness: async () => (await import("./bench/likeness.ts")).benchLikeness(),
  placement: async () => (await import("./bench/placement.ts")).benchPlacement(),
  scrub: async () => (await import("./bench/scrub.ts")).benchScrub(),
  bundles: async () => (await import("./bench/bundles.ts")).benchBundles(),
  scene: async () => (await import("./bench/scene.ts")).benchScene(),
  studio: async () => (await import("./bench/studio.ts")).benchStudio(),
  stops: async () => (await import("./bench/stops.ts")).benchStops(),
  photo: async () => (await import("./bench/photo.ts")).benchPhoto(),
  record: async () => (await import("./bench/record.ts")).benchRecord(),
  tick: async () => (await import("./bench/tick.ts")).benchTick(),
  twinkle: async () => (await import("./bench/twinkle.ts")).benchTwinkle(),
};

const asked = process.argv.slice(2);
const one = asked[0] === "--here" ? PARTS[asked[1] ?? ""] : undefined;
if (one) {
  for (const line of await one())
    console.log(`${line.what}\n    ${line.measured}${goal(line)}\n    beside it: ${line.reference}`);
} else {
  const unknown = asked.filter((name) => !(name in PARTS));
  if (unknown.length > 0) {
    console.error(`There is no part ${unknown.join(", ")}; choose from ${Object.keys(PARTS).join(", ")}.`);
    process.exit(2);
  }
  // each part in a process of its own: no part warms or fills the memory of another
  for (const name of asked.length > 0 ? asked : Object.keys(PARTS)) {
    const tsx = new URL("../node_modules/tsx/dist/cli.mjs", import.meta.url).pathname;
    const { status } = spawnSync(process.execPath, [tsx, import.meta.filename, "--here", name], {
      stdio: "inherit",
    });
    if (status !== 0) process.exit(1);
  }
}

function goal(line: BenchLine): string {
  return line.goal === "" ? "" : `   (to hold: ${line.goal})`;
}
