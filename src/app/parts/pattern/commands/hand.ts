import type { PointMm } from "../../../../geometry/types.ts";
import type { Job } from "../../../../job/schema.ts";
import type { ByHand, SkyObjectId } from "../../../../job/sections/pattern.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";
import { omit } from "../../../state/omit.ts";
import { tidy } from "../../../state/commands/shiftRoom.ts";

const MOST_DECISIONS = 5000;

/**
 * Puts a star (or body) at a point whatever the chosen sky says: so far from where that sky puts it (`trueMm`),
 * and in that sky alone. Takes the place of what was decided about it before.
 */
export function pinStar(
  job: Job,
  what: SkyObjectId,
  atMm: PointMm,
  trueMm: PointMm | null,
  name: string,
): Edit {
  const to = trueMm ? { offsetMm: point([atMm[0] - trueMm[0], atMm[1] - trueMm[1]]) } : { atMm: point(atMm) };
  return {
    name: `Pin ${name}`,
    job: decide(job, { do: "pin", what, night: job.sky.chosen, ...to }),
    merge: `pin ${what}`,
  };
}

/** Leaves a star out. */
export function omitStar(job: Job, what: SkyObjectId, name: string, why = ""): Edit {
  return { name: `Leave out ${name}`, job: decide(job, { do: "omit", what, why: why.trim() }) };
}

/** Takes back what was decided about a star: it settles by itself again. */
export function freeStar(job: Job, what: SkyObjectId, name: string): Edit {
  const at = decisionAbout(job, what);
  if (at < 0) throw new Refusal(`Nothing was decided about ${name}.`);
  return { name: `Let the program place ${name}`, job: withByHand(job, job.pattern.byHand.toSpliced(at, 1)) };
}

/** A hole that no star has. Without a diameter it takes what is left, like filler. */
export function addHole(job: Job, atMm: PointMm, diameterMm?: number, name = ""): Edit {
  const hole: ByHand = {
    do: "add",
    atMm: point(atMm),
    ...(diameterMm !== undefined && { diameterMm }),
    name,
  };
  return { name: "Add a hole", job: withByHand(job, [...job.pattern.byHand, hole]) };
}

export function moveAdded(job: Job, index: number, atMm: PointMm): Edit {
  const hole = addedAt(job, index);
  return {
    name: `Move ${addedName(job, index)}`,
    job: withByHand(job, job.pattern.byHand.with(index, { ...hole, atMm: point(atMm) })),
    merge: `added ${index}`,
  };
}

/** Another name, diameter (null: any strand) or number of strands. */
export function describeAdded(
  job: Job,
  index: number,
  change: { name?: string; diameterMm?: number | null; strands?: number },
): Edit {
  const hole = addedAt(job, index);
  const rest: typeof hole = change.diameterMm === null ? omit(omit(hole, "diameterMm"), "strands") : hole;
  const next: typeof hole = {
    ...rest,
    ...(change.name !== undefined && { name: change.name.trim() }),
    ...(typeof change.diameterMm === "number" && { diameterMm: change.diameterMm }),
    ...(change.strands !== undefined && { strands: change.strands }),
  };
  return {
    name: `Change ${addedName(job, index)}`,
    job: withByHand(job, job.pattern.byHand.with(index, next)),
  };
}

/** Why a star was left out, for whoever wonders later. */
export function explainOmitted(job: Job, index: number, why: string): Edit {
  const decision = job.pattern.byHand[index];
  if (decision?.do !== "omit") throw new Refusal("That decision is no longer there.");
  return {
    name: "Say why a star is left out",
    job: withByHand(job, job.pattern.byHand.with(index, { ...decision, why: why.trim() })),
  };
}

/** Drops decisions, by their place in the list. */
export function forgetDecisions(job: Job, indices: readonly number[]): Edit {
  const { byHand } = job.pattern;
  if (!indices.every((i) => i in byHand)) throw new Refusal("That decision is no longer there.");
  const name =
    indices.length === 1
      ? `Forget ${decisionWords(byHand[indices[0]!]!)}`
      : `Forget ${indices.length} decisions by hand`;
  return {
    name,
    job: withByHand(
      job,
      byHand.filter((_, i) => !indices.includes(i)),
    ),
  };
}

/** Where the decision about a star in the chosen sky stands in the list, or -1. */
export function decisionAbout(job: Job, what: SkyObjectId): number {
  const { chosen } = job.sky;
  return job.pattern.byHand.findIndex(
    (d) => d.do !== "add" && d.what === what && (d.do === "omit" || d.night === chosen),
  );
}

export function addedName(job: Job, index: number): string {
  const decision = job.pattern.byHand[index];
  return decision?.do === "add" && decision.name !== "" ? decision.name : "the hole of your own";
}

/** A decision in a few words of its own kind. */
function decisionWords(decision: ByHand): string {
  if (decision.do === "add") return decision.name || "a hole of your own";
  return decision.do === "pin" ? "a pin" : "an omission";
}

function decide(job: Job, decision: Exclude<ByHand, { do: "add" }>): Job {
  const { byHand } = job.pattern;
  const at = decisionAbout(job, decision.what);
  return withByHand(job, at < 0 ? [...byHand, decision] : byHand.with(at, decision));
}

function withByHand(job: Job, byHand: ByHand[]): Job {
  if (byHand.length > MOST_DECISIONS) {
    throw new Refusal(`At most ${MOST_DECISIONS} holes can be decided by hand.`);
  }
  return { ...job, pattern: { ...job.pattern, byHand } };
}

function addedAt(job: Job, index: number): Extract<ByHand, { do: "add" }> {
  const decision = job.pattern.byHand[index];
  if (decision?.do !== "add") throw new Refusal("That hole is no longer in the list.");
  return decision;
}

const point = ([x, y]: PointMm): PointMm => [tidy(x), tidy(y)];
