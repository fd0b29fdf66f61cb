import type { PointMm } from "../../../geometry/types.ts";
import type { Job } from "../../../job/schema.ts";
import { type Edit, Refusal, withCeiling } from "../edit.ts";
import { omit } from "../omit.ts";
import { shiftRoom, tidy } from "./shiftRoom.ts";

/** Two walls count as parallel when the sine of the angle between them is below this (0.06 degrees). */
const PARALLEL_SINE = 0.001;

export interface WallSpan {
  from: PointMm;
  to: PointMm;
  lengthMm: number;
  /** Unit vector from `from` to `to`. */
  along: PointMm;
}

/** Wall i of an outline, from corner i to the next. */
export function wallSpan(outline: readonly PointMm[], wall: number): WallSpan {
  const from = corner(outline, wall);
  const to = corner(outline, wall + 1);
  const lengthMm = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const along: PointMm =
    lengthMm === 0 ? [1, 0] : [(to[0] - from[0]) / lengthMm, (to[1] - from[1]) / lengthMm];
  return { from, to, lengthMm, along };
}

export function wallName(job: Job, wall: number): string {
  return job.ceiling.walls[wall] || `wall ${wall + 1}`;
}

/** Replaces the outline; it is moved so that its lower left is the origin, and everything in the room with it. */
export function setOutline(job: Job, outlineMm: PointMm[], name = "Redraw the room"): Edit {
  if (outlineMm.length < 3) throw new Refusal("A room needs at least three corners.");
  const left = Math.min(...outlineMm.map((p) => p[0]));
  const bottom = Math.min(...outlineMm.map((p) => p[1]));
  const walls = job.ceiling.walls.slice(0, outlineMm.length);
  return { name, job: shiftRoom(withCeiling(job, { outlineMm, walls }), -left, -bottom) };
}

/**
 * Gives a wall its measured length. The corners behind it move along with it, up to the next wall that
 * runs the opposite way, which takes up the difference: square corners stay square. Where no wall runs
 * the opposite way, only the wall's far corner moves. Refused when every opposite wall is too short.
 */
export function setWallLength(job: Job, wall: number, lengthMm: number): Edit {
  const outline = job.ceiling.outlineMm;
  const span = wallSpan(outline, wall);
  const grow = lengthMm - span.lengthMm;
  const count = outline.length;
  let moved = 1;
  let opposite = false;
  for (let step = 1; step < count; step++) {
    const other = wallSpan(outline, wall + step);
    const sine = span.along[0] * other.along[1] - span.along[1] * other.along[0];
    const cosine = span.along[0] * other.along[0] + span.along[1] * other.along[1];
    if (Math.abs(sine) >= PARALLEL_SINE || cosine >= 0) continue;
    opposite = true;
    if (other.lengthMm + grow <= 0) continue;
    moved = step;
    opposite = false;
    break;
  }
  if (opposite) {
    throw new Refusal(
      "The walls opposite are too short for that. Change them first, or tape round the room.",
    );
  }
  const next = outline.map((p) => [...p] as PointMm);
  for (let step = 1; step <= moved; step++) {
    const index = (wall + step) % count;
    const [x, y] = corner(outline, index);
    next[index] = [tidy(x + grow * span.along[0]), tidy(y + grow * span.along[1])];
  }
  return setOutline(job, next, `Set the length of ${wallName(job, wall)}`);
}

export function moveCorner(job: Job, index: number, toMm: PointMm): Edit {
  const next = job.ceiling.outlineMm.map((p, i): PointMm => (i === index ? toMm : p));
  return { ...setOutline(job, next, `Move corner ${index + 1}`), merge: `corner ${index}` };
}

/** Puts a new corner in the middle of a wall; the new half of the wall keeps its name. */
export function splitWall(job: Job, wall: number): Edit {
  const { from, to } = wallSpan(job.ceiling.outlineMm, wall);
  const middle: PointMm = [tidy((from[0] + to[0]) / 2), tidy((from[1] + to[1]) / 2)];
  const outlineMm = job.ceiling.outlineMm.toSpliced(wall + 1, 0, middle);
  const walls = padded(job).toSpliced(wall + 1, 0, "");
  return { name: `Add a corner to ${wallName(job, wall)}`, job: withCeiling(job, { outlineMm, walls }) };
}

/** Takes a corner out; the wall before it runs on to the next corner. */
export function removeCorner(job: Job, index: number): Edit {
  if (job.ceiling.outlineMm.length <= 3) throw new Refusal("A room needs at least three corners.");
  const outline = job.ceiling.outlineMm.toSpliced(index, 1);
  const walls = padded(job).toSpliced(index, 1);
  return setOutline(withWalls(job, walls), outline, `Remove corner ${index + 1}`);
}

export function nameWall(job: Job, wall: number, name: string): Edit {
  return { name: `Name wall ${wall + 1}`, job: withWalls(job, padded(job).with(wall, name.trim())) };
}

/** Floor to ceiling; undefined = not measured. */
export function setCeilingHeight(job: Job, heightMm: number | undefined): Edit {
  const name = "Set the ceiling height";
  if (heightMm === undefined) return { name, job: { ...job, ceiling: omit(job.ceiling, "heightMm") } };
  return { name, job: withCeiling(job, { heightMm }) };
}

/** Free height above the grid; null = not measured. */
export function setVoidHeight(job: Job, voidMm: number | null): Edit {
  return { name: "Set the free height above", job: withCeiling(job, { voidMm }) };
}

function withWalls(job: Job, walls: string[]): Job {
  const last = walls.findLastIndex((w) => w !== "");
  return withCeiling(job, { walls: walls.slice(0, last + 1) });
}

function padded(job: Job): string[] {
  return job.ceiling.outlineMm.map((_, i) => job.ceiling.walls[i] ?? "");
}

function corner(outline: readonly PointMm[], index: number): PointMm {
  const found = outline[((index % outline.length) + outline.length) % outline.length];
  if (found === undefined) throw new Error("an outline needs corners");
  return found;
}
