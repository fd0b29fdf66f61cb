import { asBuilt, type Built } from "../asBuilt/built.ts";
import { begunTiles, begunWarnings, issuedOnBench, plannedOnBench, type Begun } from "../asBuilt/cost.ts";
import { usedSpares } from "../asBuilt/spares.ts";
import { issuedTiles } from "../issue/packed.ts";
import type { Warning } from "../job/faults.ts";
import type { Entry } from "../record/entry.ts";
import { paperFacts } from "../sheets/laid.ts";
import { takeoffOf } from "../takeoff/bundled.ts";
import type { Takeoff } from "../takeoff/types.ts";
import { planned, type Given } from "./stage.ts";

/** What was worked out, as the record tells that it was built; as planned where no record is given. */
export const builtOf = (
  given: Given<"sky" | "ceiling" | "holes" | "bundles">,
  record: readonly Entry[] = [],
): Built => asBuilt(planned(given), given.bundles.bundles, record);

/** The tiles that somebody has begun: as they were issued, or else as they are planned. */
export function begunOf(given: Given<"sky" | "ceiling" | "holes">, record: readonly Entry[]): Begun[] {
  const { takeoff, issued } = given.job;
  const fixed = issuedTiles(issued).map(issuedOnBench);
  const names = new Set(fixed.map(({ tile }) => tile));
  const open = plannedOnBench(planned(given)).filter(({ tile }) => !names.has(tile));
  return begunTiles([...fixed, ...open], record, takeoff);
}

/** What is to be said of them: what the job would have otherwise now, and what that would cost. */
export const begunSaid = (
  given: Given<"sky" | "ceiling" | "holes">,
  record: readonly Entry[] = [],
): Warning[] =>
  begunWarnings(
    begunOf(given, record),
    new Set(given.job.issued?.tiles.map(({ tile }) => tile)),
    given.holes.instead,
  );

/** The takeoff of what was built, with the spares to order again. A quote is an offer, so no record changes it. */
export function takeoffAsBuilt(
  built: Built,
  takeoff: Takeoff,
  record: readonly Entry[] | undefined,
): Takeoff {
  if (record === undefined) return takeoff;
  const { quote } = takeoff;
  return { ...takeoffOf(built.plan, built.bundles, paperFacts(built.plan), usedSpares(built)), quote };
}
