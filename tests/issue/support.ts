import { readFileSync } from "node:fs";
import type { Bundles } from "../../src/bundles/types.ts";
import { checkJob } from "../../src/check.ts";
import { NODE } from "../../src/cli/work.ts";
import { issueTiles } from "../../src/issue/make.ts";
import type { Job, JobInput } from "../../src/job/schema.ts";
import type { Planned } from "../../src/plan.ts";
import { sharerBy } from "../../src/work/shareOut.ts";
import { choose, planned } from "../../src/work/stage.ts";
import { Work } from "../../src/work/work.ts";

export const demo: Job = checkJob(readFileSync("demo/harbour-dining-room.velarium.json")).job;

/** Hand rules share out: the same in every run, and no solver has to start. */
export const work = new Work({ ...NODE, sharer: sharerBy(null) }, 20);

export interface Worked {
  plan: Planned;
  bundles: Bundles;
  exchanged: boolean;
}

/** A job worked out as far as its strands; read from text first, as a file would be. */
export async function workedOut(job: Job | JobInput): Promise<Worked> {
  const made = await work.upTo(choose(checkJob(JSON.stringify(job)).job), "bundles");
  return { plan: planned(made), bundles: made.bundles.bundles, exchanged: made.bundles.holes !== null };
}

export async function issued(job: Job, tiles?: readonly string[]): Promise<Job> {
  const { plan, bundles, exchanged } = await workedOut(job);
  return issueTiles(plan, bundles, { on: "2029-06-01", exchanged, ...(tiles && { tiles }) }).job;
}

/** All that is known of the holes and strands of some tiles, a line each: what must never change. */
export function told({ plan, bundles }: Worked, tiles: ReadonlySet<string>): string[] {
  const own = [...plan.pattern.holes, ...bundles.strands, ...bundles.tails].filter((one) =>
    tiles.has(one.tile),
  );
  return own.map((one) => JSON.stringify(one)).sort();
}

/** Lines that are not the same, three at most: all of them would fill the screen. */
export function differences(before: readonly string[], after: readonly string[]): string[] {
  const lines = Array.from({ length: Math.max(before.length, after.length) }, (_, i) => [
    before[i],
    after[i],
  ]);
  return lines.filter(([a, b]) => a !== b).slice(0, 3).map(([a, b]) => `${a} -> ${b}`); // prettier-ignore
}
