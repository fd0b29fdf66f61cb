import type { PointMm } from "../../../../geometry/types.ts";
import { tidy } from "../../../state/commands/shiftRoom.ts";

/** One wall as measured going round the room with the tape: its length, and the turn at its end. */
export interface TapeLeg {
  lengthMm: number;
  /** How far the next wall turns to the left of this one, in degrees: 90 at an ordinary corner, -90 at a nook's outer corner. */
  turnLeftDeg: number;
}

export interface TapedRoom {
  outlineMm: PointMm[];
  /** How far the last wall misses the first corner. */
  gapMm: number;
  /** gapMm over the way round. */
  gapShare: number;
}

/**
 * The outline from walls measured one after the other, counter-clockwise on the plan, the first along +X.
 * What fails to close is spread over the walls in proportion to their length (the compass rule of
 * surveying, N. Bowditch 1808), so the last wall ends where the first began.
 */
export function outlineFromTape(legs: readonly TapeLeg[]): TapedRoom {
  let x = 0;
  let y = 0;
  let headingDeg = 0;
  let wayMm = 0;
  const ends: { x: number; y: number; wayMm: number }[] = [];
  for (const leg of legs) {
    const [cos, sin] = direction(headingDeg);
    x += leg.lengthMm * cos;
    y += leg.lengthMm * sin;
    wayMm += leg.lengthMm;
    ends.push({ x, y, wayMm });
    headingDeg += leg.turnLeftDeg;
  }
  const share = (w: number) => (wayMm === 0 ? 0 : w / wayMm);
  const outlineMm = ends.map((end): PointMm => [
    tidy(end.x - x * share(end.wayMm)),
    tidy(end.y - y * share(end.wayMm)),
  ]);
  const first = outlineMm.pop();
  const gapMm = Math.hypot(x, y);
  return { outlineMm: first ? [first, ...outlineMm] : [], gapMm, gapShare: share(gapMm) };
}

/** Right angles exactly, so that a square room stays square to the last micrometre. */
function direction(deg: number): [number, number] {
  const turned = ((deg % 360) + 360) % 360;
  if (turned === 0) return [1, 0];
  if (turned === 90) return [0, 1];
  if (turned === 180) return [-1, 0];
  if (turned === 270) return [0, -1];
  const rad = (turned * Math.PI) / 180;
  return [Math.cos(rad), Math.sin(rad)];
}
