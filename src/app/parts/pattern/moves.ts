import type { PointMm } from "../../../geometry/types.ts";
import { toUm } from "../../../geometry/um.ts";
import type { Job } from "../../../job/schema.ts";
import type { LengthUnits } from "../../../job/units.ts";
import { canPlace } from "../../../pattern/canPlace.ts";
import type { Hole } from "../../../pattern/types.ts";
import type { Plan } from "../../../plan.ts";
import { addHole, moveAdded, omitStar, pinStar, forgetDecisions } from "./commands/hand.ts";
import { tidy } from "../../state/commands/shiftRoom.ts";
import { type Edit, Refusal } from "../../state/edit.ts";
import type { Subject } from "./subject.ts";

/** How far one press of an arrow key nudges a hole: a millimetre or a sixteenth, with Shift ten of them. */
export function nudgeMm(units: LengthUnits, coarse: boolean): number {
  const fine = units === "ft-in" ? 25.4 / 16 : 1;
  return coarse ? fine * 10 : fine;
}

/** The hard rule against a hole at a point of this plan, "" for none. `except` is the hole on its way there. */
export function ruleAgainst(
  plan: Plan,
  { pattern: { spacingMm }, units }: Pick<Job, "pattern" | "units">,
  at: PointMm,
  except: Hole | null,
): string {
  const { ceiling, pattern } = plan;
  return canPlace([toUm(at[0]), toUm(at[1])], {
    ceiling,
    holes: pattern.holes,
    spacingMm,
    exceptId: except?.id,
    units,
  });
}

/** The edit that puts a subject's hole at a point: a pin for what the sky names, a hole of one's own for filler. */
export function placeSubject(job: Job, subject: Subject, at: PointMm): Edit {
  if (subject.what !== null) return pinStar(job, subject.what, at, subject.trueMm, subject.name);
  if (subject.decision?.do === "add") return moveAdded(job, subject.index, at);
  return { ...addHole(job, at, subject.hole?.diameterMm), name: `Move ${lower(subject.name)}` };
}

/** The edit that leaves a subject without a hole. Filler has nobody to leave out. */
export function leaveOut(job: Job, subject: Subject): Edit {
  if (subject.what !== null) return omitStar(job, subject.what, subject.name);
  if (subject.decision?.do === "add") return forgetDecisions(job, [subject.index]);
  throw new Refusal("Filler has no star to leave out: set fewer aside for fainter stars, or draw others.");
}

/** Nearest hole to a point of the plan within a distance. */
export function holeNear(holes: readonly Hole[], [x, y]: PointMm, withinMm: number): Hole | null {
  let best: Hole | null = null;
  let least = withinMm;
  for (const hole of holes) {
    const far = Math.hypot(hole.xMm - x, hole.yMm - y);
    if (far <= least) [best, least] = [hole, far];
  }
  return best;
}

/** The next hole in a direction of the plan: near, and not far off the line. */
export function holeBeside(holes: readonly Hole[], from: Hole, [dx, dy]: PointMm): Hole {
  let best = from;
  let least = Infinity;
  for (const hole of holes) {
    const along = (hole.xMm - from.xMm) * dx + (hole.yMm - from.yMm) * dy;
    const across = Math.abs((hole.xMm - from.xMm) * dy - (hole.yMm - from.yMm) * dx);
    if (along <= 0 || across > 2 * along) continue;
    const cost = along + 2 * across;
    if (cost < least) [best, least] = [hole, cost];
  }
  return best;
}

/** Whole micrometres, as the job keeps points. */
export const tidyPoint = ([x, y]: PointMm): PointMm => [tidy(x), tidy(y)];

/** Our own words follow a verb; names of stars keep their capitals. */
const lower = (name: string): string => (name.startsWith("Filler") ? `f${name.slice(1)}` : name);
