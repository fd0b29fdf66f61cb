import type { BoxUm } from "../geometry/types.ts";

/**
 * The one home of every flip. The plan is drawn as seen from ABOVE (a floor plan and a reflected
 * ceiling plan have the same handedness); the back of a tile reads like the plan. Looking up, and the face of
 * a tile, are that mirrored left to right. Nothing else in the project may negate an x.
 */

/** Where a drawing is read from: the BACK of a tile and the plan from above, the FACE and the room from below. */
export type Side = "back" | "face";

/** x' = a x + c y + e, y' = b x + d y + f: the order of SVG, PDF and canvas. In any one unit of length. */
export interface Affine {
  a: number;
  b: number;
  c: number;
  d: number;
  e: number;
  f: number;
}

export const IDENTITY: Affine = { a: 1, b: 0, c: 0, d: 1, e: 0, f: 0 };

/** From the plan to the same box as read from a side: nothing for the back, mirrored left to right for the face. */
export function viewFrom(side: Side, box: BoxUm): Affine {
  return side === "back" ? IDENTITY : { a: -1, b: 0, c: 0, d: 1, e: box.minX + box.maxX, f: 0 };
}

/** From the plan to a drawing of the box as read from a side, its lower left corner at (0, 0), y upward. */
export function drawnFrom(side: Side, box: BoxUm): Affine {
  return followedBy(viewFrom(side, box), { ...IDENTITY, e: -box.minX, f: -box.minY });
}

/** Like `drawnFrom`, for pages and screens: (0, 0) at the upper left corner, y downward. Not a flip for the reader. */
export function drawnDownFrom(side: Side, box: BoxUm): Affine {
  return followedBy(drawnFrom(side, box), { a: 1, b: 0, c: 0, d: -1, e: 0, f: box.maxY - box.minY });
}

/** First one map, then the other. (Not named `then`: a module that exports one can't be imported on demand.) */
export function followedBy(first: Affine, second: Affine): Affine {
  return {
    a: second.a * first.a + second.c * first.b,
    b: second.b * first.a + second.d * first.b,
    c: second.a * first.c + second.c * first.d,
    d: second.b * first.c + second.d * first.d,
    e: second.a * first.e + second.c * first.f + second.e,
    f: second.b * first.e + second.d * first.f + second.f,
  };
}

/** The map that undoes another. Throws RangeError where there is none. */
export function inverse({ a, b, c, d, e, f }: Affine): Affine {
  const det = a * d - b * c;
  if (det === 0 || !Number.isFinite(det))
    throw new RangeError("a drawing squeezed to a line can't be undone");
  return {
    a: d / det,
    b: -b / det,
    c: -c / det,
    d: a / det,
    e: (c * f - d * e) / det,
    f: (b * e - a * f) / det,
  };
}

export function mapPoint(m: Affine, p: { x: number; y: number }): { x: number; y: number } {
  return { x: m.a * p.x + m.c * p.y + m.e, y: m.b * p.x + m.d * p.y + m.f };
}

/** A direction (an arrow to a wall, say): turned and mirrored, not moved. */
export function mapDirection(m: Affine, v: { x: number; y: number }): { x: number; y: number } {
  return { x: m.a * v.x + m.c * v.y, y: m.b * v.x + m.d * v.y };
}

export interface SideWords {
  /** The flag in capitals. */
  flag: string;
  /** How to hold the sheet. */
  read: string;
  /** For a drawing of the whole ceiling. */
  whole: string;
  /** Check by eye: with north up, where east is. */
  check: string;
}

/** What every drawing says about itself. */
export const SIDE_WORDS: Record<Side, SideWords> = {
  back: {
    flag: "BACK",
    read: "read from above",
    whole: "Plan, seen from above",
    check: "With north up, east is on the RIGHT, as on a floor plan.",
  },
  face: {
    flag: "FACE",
    read: "read from below",
    whole: "View from below",
    check: "With north up, east is on the LEFT, as on a sky chart.",
  },
};
