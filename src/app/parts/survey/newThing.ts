import type { FittingChoice } from "../../../ceiling/presets.ts";
import type { PointMm } from "../../../geometry/types.ts";
import { ruleMm } from "../../../job/units.ts";
import { addThing } from "../../state/commands/things.ts";
import { desk } from "../../state/desk.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import { shapeFor } from "./shapeFor.ts";

/** Puts a new thing on the ceiling and picks it, ready to be named and measured. */
export function placeNewThing(choice: FittingChoice, at: PointMm, to: PointMm | null = null): void {
  const done = studio.run((job) =>
    addThing(
      job,
      choice.kind,
      shapeFor(choice, at, to, studio.ceiling),
      ruleMm(choice.clearanceMm, job.units),
    ),
  );
  if (!done) return;
  desk.drawing = null;
  desk.selection = { kind: "thing", index: studio.job.ceiling.noGo.length - 1 };
}
