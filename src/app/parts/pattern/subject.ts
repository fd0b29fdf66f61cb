import type { PointMm } from "../../../geometry/types.ts";
import type { Job } from "../../../job/schema.ts";
import type { ByHand, SkyObjectId } from "../../../job/sections/pattern.ts";
import type { Hole, LostStar, Pattern } from "../../../pattern/types.ts";

/**
 * Who a hole is, so that it can be followed through every new plan: "star:97165", "star:moon" for what the
 * sky names, "at:2620,300" for filler and holes of one's own, which are known by where they lie.
 */
export type SubjectKey = string;

/** A star, body or nameless hole with everything that is known and decided about it. */
export interface Subject {
  key: SubjectKey;
  /** null: filler or a hole of one's own. */
  what: SkyObjectId | null;
  name: string;
  hole: Hole | null;
  lost: LostStar | null;
  decision: ByHand | null;
  /** Place of the decision in the job's list, or -1. */
  index: number;
  /** Where it is punched, or would be by what was decided; null when it has no hole. */
  atMm: PointMm | null;
  /** Where the sky puts it. */
  trueMm: PointMm | null;
}

export function keyOfHole(hole: Hole): SubjectKey {
  const what = whatOf(hole.kind, hole.star, hole.name);
  return what === null ? keyAt([hole.xMm, hole.yMm]) : keyOfStar(what);
}

export function keyOfLost(lost: LostStar): SubjectKey {
  return keyOfStar(lost.star ?? (lost.name.toLowerCase() as SkyObjectId));
}

export const keyOfStar = (what: SkyObjectId): SubjectKey => `star:${what}`;
export const keyAt = ([x, y]: PointMm): SubjectKey => `at:${x},${y}`;

/** Everything about the key's star or hole; null when it is gone from plan and job alike. */
export function subjectOf(key: SubjectKey, job: Job, pattern: Pattern | null): Subject | null {
  const hole = pattern?.holes.find((h) => keyOfHole(h) === key) ?? null;
  const lost = pattern?.lost.find((l) => keyOfLost(l) === key) ?? null;
  const { byHand } = job.pattern;
  const what = whatOfKey(key);
  const index = byHand.findIndex((d) =>
    d.do === "add" ? what === null && keyAt(d.atMm) === key : d.what === what && appliesIn(d, job),
  );
  const decision = byHand[index] ?? null;
  if (!hole && !lost && !decision) return null;
  const trueMm = trueOf(hole ?? lost);
  const decided = decision && placeOf(decision, trueMm);
  return {
    key,
    what,
    name: nameOf(what, hole, lost, decision),
    hole,
    lost,
    decision,
    index,
    atMm: decided ?? (hole && decision?.do !== "omit" ? [hole.xMm, hole.yMm] : null),
    trueMm,
  };
}

/** A pin belongs to the sky it was made in. */
const appliesIn = (decision: ByHand, job: Job): boolean =>
  decision.do !== "pin" || decision.night === job.sky.chosen;

/** Where a decision puts its hole, as far as that is known without the sky. */
function placeOf(decision: ByHand, trueMm: PointMm | null): PointMm | null {
  if (decision.do === "omit") return null;
  if (decision.do === "add" || !decision.offsetMm) return decision.atMm ?? null;
  return trueMm && [trueMm[0] + decision.offsetMm[0], trueMm[1] + decision.offsetMm[1]];
}

function trueOf(thing: Hole | LostStar | null): PointMm | null {
  return thing && thing.trueXMm !== null && thing.trueYMm !== null ? [thing.trueXMm, thing.trueYMm] : null;
}

function whatOf(kind: Hole["kind"], star: number | null, name: string): SkyObjectId | null {
  if (kind === "filler") return null;
  return star ?? (name.toLowerCase() as SkyObjectId);
}

function whatOfKey(key: SubjectKey): SkyObjectId | null {
  if (!key.startsWith("star:")) return null;
  const word = key.slice(5);
  return /^\d+$/.test(word) ? Number(word) : (word as SkyObjectId);
}

function nameOf(
  what: SkyObjectId | null,
  hole: Hole | null,
  lost: LostStar | null,
  decision: ByHand | null,
): string {
  const known = hole?.name || lost?.name;
  if (known) return known;
  if (what !== null) return starName(what);
  if (decision?.do === "add") return decision.name || "Hole of your own";
  return hole ? `Filler ${hole.tile} ${hole.numberInTile}` : "Hole";
}

/** A star without a name goes by its number: above a million it is not Hipparcos's. */
export function starName(what: SkyObjectId): string {
  if (typeof what === "string") return what.charAt(0).toUpperCase() + what.slice(1);
  return what > 1_000_000 ? `HD ${what - 1_000_000}` : `HIP ${what}`;
}
