import { untrack } from "svelte";
import type { PointMm } from "../../../geometry/types.ts";
import type { Hole } from "../../../pattern/types.ts";
import { xSign } from "../../stage/planView.ts";
import { stage } from "../../stage/stageView.svelte.ts";
import { addHole, pinStar } from "./commands/hand.ts";
import { desk } from "../../state/desk.svelte.ts";
import { say } from "../../state/notices.svelte.ts";
import { studio } from "../../state/studio.svelte.ts";
import { arrow } from "../../ui/arrow.ts";
import type { PlanDrag } from "../../stage/part.ts";
import { hand } from "./hand.svelte.ts";
import { holeBeside, holeNear, leaveOut, nudgeMm, placeSubject, ruleAgainst, tidyPoint } from "./moves.ts";
import { keyAt, keyOfHole, keyOfStar, type Subject, subjectOf } from "./subject.ts";

/** How near to a hole a finger or the mouse has to be: to pick it, and to drag it without picking it first. */
const PICK_PX = 18;
const DRAG_PX = 8;

const pattern = () => studio.plan?.pattern ?? null;
const holes = (): readonly Hole[] => pattern()?.holes ?? [];

/** The picked star or hole. */
export function pickedSubject(): Subject | null {
  return hand.picked === null ? null : subjectOf(hand.picked, studio.job, pattern());
}

/** Takes hold of the picked hole, or with the mouse of any hole right under it. */
export function press(grip: string, at: PointMm, event: PointerEvent): PlanDrag | null {
  if (desk.section !== "hand" || hand.placing !== null) return null;
  if (grip !== "hole") {
    if (event.pointerType !== "mouse") return null;
    const near = holeNear(holes(), at, DRAG_PX / stage.planView.pxPerMm);
    if (!near) return null;
    const key = keyOfHole(near);
    return dragOf(() => hand.pick(key), [near.xMm - at[0], near.yMm - at[1]]);
  }
  const start = pickedSubject()?.atMm;
  return start ? dragOf(() => undefined, [start[0] - at[0], start[1] - at[1]]) : null;
}

/** A drag that keeps the hole where it was taken hold of; nothing changes until the hand lets go. */
function dragOf(begin: () => void, off: PointMm): PlanDrag {
  let begun = false;
  return {
    move: (to) => {
      if (!begun) begin();
      begun = true;
      hand.moving = trial([to[0] + off[0], to[1] + off[1]]);
    },
    end: () => settle(),
    cancel: () => (hand.moving = null),
  };
}

/** Where the picked hole would come, and what is against it. */
function trial(to: PointMm): { atMm: PointMm; why: string } {
  const atMm = tidyPoint(to);
  const subject = pickedSubject();
  return {
    atMm,
    why: studio.plan ? ruleAgainst(studio.plan, studio.job, atMm, subject?.hole ?? null) : "",
  };
}

/** Pins the picked hole where it has been moved to, or says which rule forbids it. Gives whether it was done. */
export function settle(): boolean {
  const { moving } = hand;
  const subject = pickedSubject();
  hand.moving = null;
  if (!moving || !subject) return false;
  return putAt(subject, moving.atMm, moving.why);
}

/** Puts a subject at a point of the plan unless a hard rule forbids it. */
export function putAt(subject: Subject, at: PointMm, why = trial(at).why): boolean {
  const place = tidyPoint(at);
  if (why) {
    refuse(why);
    return false;
  }
  const done = studio.run((job) => placeSubject(job, subject, place));
  studio.seal();
  if (done && subject.what === null) hand.pick(keyAt(place));
  if (done) desk.spoken = `${subject.name} pinned`;
  return done;
}

function refuse(why: string): void {
  say("refused", `No hole there: ${why}.`);
  desk.spoken = `Refused: ${why}`;
}

export function omitPicked(subject: Subject): void {
  if (!studio.run((job) => leaveOut(job, subject))) return;
  studio.seal();
  desk.spoken = `${subject.name} left out`;
  if (subject.what === null) hand.pick(null);
}

export function tap(grip: string, at: PointMm): void {
  hand.early = studio.plan ? null : at;
  if (!studio.plan) return;
  if (hand.placing) return putDown(at);
  if (grip === "hole") return;
  const near = holeNear(holes(), at, PICK_PX / stage.planView.pxPerMm);
  if (desk.section !== "hand" && near) desk.open("hand");
  hand.pick(near ? keyOfHole(near) : null);
  if (near) hand.cursor = near.id;
}

/** A tap while something waits to be put down. */
function putDown(at: PointMm): void {
  const { placing } = hand;
  if (!placing || !studio.plan) return;
  const place = tidyPoint(at);
  const subject = placing.kind === "pin" ? subjectOf(keyOfStar(placing.what), studio.job, pattern()) : null;
  const why = ruleAgainst(studio.plan, studio.job, place, subject?.hole ?? null);
  if (why) return refuse(why);
  const done = studio.run((job) =>
    placing.kind === "pin"
      ? pinStar(job, placing.what, place, subject?.trueMm ?? null, placing.name)
      : addHole(job, place),
  );
  studio.seal();
  if (done) hand.pick(placing.kind === "pin" ? keyOfStar(placing.what) : keyAt(place));
}

/** The keyboard's way to everything that can be dragged. */
export function key(grip: string, event: KeyboardEvent): boolean {
  if (event.key === "Escape" && hand.placing) {
    hand.placing = null;
    return true;
  }
  if (grip === "holecursor") return cursorKey(event);
  if (grip !== "hole") return false;
  const subject = pickedSubject();
  if (!subject?.atMm) return false;
  const way = arrow(event);
  if (way) {
    const far = nudgeMm(studio.job.units, event.shiftKey);
    const [x, y] = hand.moving?.atMm ?? subject.atMm;
    hand.moving = trial([x + way[0] * xSign(desk.side) * far, y + way[1] * far]);
    desk.spoken = hand.moving.why || "free";
    return true;
  }
  if (event.key === "Enter" || event.key === " ") settle();
  else if (event.key === "Escape") {
    if (hand.moving) hand.moving = null;
    else hand.pick(null);
  } else if (event.key === "Delete" || event.key === "Backspace") omitPicked(subject);
  else return false;
  return true;
}

function cursorKey(event: KeyboardEvent): boolean {
  const now = holes()[Math.min(hand.cursor, holes().length) - 1];
  if (!now) return false;
  const way = arrow(event);
  if (way) {
    const next = holeBeside(holes(), now, [way[0] * xSign(desk.side), way[1]]);
    hand.cursor = next.id;
    desk.spoken = `Hole ${next.tile} ${next.numberInTile}${next.name ? `, ${next.name}` : ""}`;
    return true;
  }
  if (event.key !== "Enter" && event.key !== " ") return false;
  hand.pick(keyOfHole(now));
  focusHandle();
  return true;
}

/** The next key then goes to the hole that was picked. */
function focusHandle(): void {
  requestAnimationFrame(() => document.querySelector<SVGElement>('[data-grip="hole"]')?.focus());
}

/** Makes good a tap that came before the holes, once they are there. */
export function tapEarly(): void {
  if (studio.plan && hand.early) untrack(() => hand.early && tap("", hand.early));
}

export function hint(): string {
  if (hand.early) return "The holes are still being placed. Your tap counts as soon as they are there.";
  if (hand.placing?.kind === "add") return "Tap where the new hole is to be. Escape leaves it.";
  if (hand.placing) return `Tap where ${hand.placing.name} is to be. Escape leaves it.`;
  return hand.moving?.why ? `No hole there: ${hand.moving.why}` : "";
}
