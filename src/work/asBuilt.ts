import { asBuilt, type Built } from "../asBuilt/built.ts";
import { usedSpares } from "../asBuilt/spares.ts";
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
