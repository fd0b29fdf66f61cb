import { Clipper64, ClipType, FillRule } from "clipper2-ts";
import { areaMm2, boxArea, boxOf, boxOverlap, forEachEdge, isBox, signedAreaUm2 } from "./measure.ts";
import { boxPen, circlePen, stroke } from "./pen.ts";
import type { Area, PointUm, Ring } from "./types.ts";

export * from "./measure.ts";
export * from "./prepare.ts";
export { ARC_TOLERANCE_UM } from "./pen.ts";
export { simplePolygonFault } from "./simple.ts";

/**
 * How far a cut may lie from where it truly is: corners that clipping makes are put on whole micrometres.
 * Whoever must never fall short of a distance adds this to it.
 */
export const ROUNDING_UM = 2;

/** Coordinates beyond this are refused: products would no longer be exact, and no ceiling is so large. */
export const MAX_COORDINATE_UM = 500_000_000;

/** A ring from any corner list of a simple polygon: counter-clockwise. Corners in whole micrometres. */
export function areaOf(ring: Ring): Area {
  return [signedAreaUm2(ring) < 0 ? [...ring].reverse() : ring];
}

/** A polygon round the whole circle, at most ARC_TOLERANCE_UM larger. Centre and radius in whole micrometres. */
export function circleArea(centre: PointUm, radiusUm: number): Area {
  return [circlePen(radiusUm).map((p) => ({ x: centre.x + p.x, y: centre.y + p.y }))];
}

/** What lies in both areas. Throws RangeError on a coordinate that isn't a whole number in range. */
export function intersect(a: Area, b: Area): Area {
  if (!a.length || !b.length) return [];
  if (isBox(a) && isBox(b)) return boxArea(boxOverlap(boxOf(a), boxOf(b)));
  return clip(ClipType.Intersection, a, b);
}

/** What lies in `a` and not in `b`. Throws like `intersect`. */
export function subtract(a: Area, b: Area): Area {
  return a.length && b.length ? clip(ClipType.Difference, a, b) : a;
}

/** What lies in any of the areas. Throws like `intersect`. */
export function unite(areas: Area[]): Area {
  const rings = areas.flat();
  return rings.length ? clip(ClipType.Union, rings, []) : [];
}

/**
 * The area and everything within byUm of it, corners rounded: never smaller than the true shape (bar
 * ROUNDING_UM), at most ARC_TOLERANCE_UM larger. Throws RangeError for byUm below 0.
 */
export function grow(area: Area, byUm: number): Area {
  if (byUm === 0 || !area.length) return area;
  return unite([area, strokes(area, circlePen(byUm))]);
}

/**
 * What of the area lies at least byUm inside its edge: never larger than the true shape (bar ROUNDING_UM),
 * at most ARC_TOLERANCE_UM smaller, exact along upright edges. Throws RangeError for byUm below 0.
 */
export function shrink(area: Area, byUm: number): Area {
  if (byUm === 0 || !area.length) return area;
  if (byUm > 0 && isBox(area)) return shrinkBox(area, byUm, byUm);
  return subtract(area, strokes(area, circlePen(byUm)));
}

/** Like `shrink`, but by byX sideways and byY up and down: what a rectangle of twice that size can't reach. */
export function shrinkBox(area: Area, byX: number, byY: number): Area {
  if (byX < 0 || byY < 0) throw new RangeError(`expected distances of 0 or more, got ${byX} and ${byY}`);
  if (isBox(area)) {
    const { minX, minY, maxX, maxY } = boxOf(area);
    return boxArea({ minX: minX + byX, minY: minY + byY, maxX: maxX - byX, maxY: maxY - byY });
  }
  return byX === 0 && byY === 0 ? area : subtract(area, strokes(area, boxPen(byX, byY)));
}

/** Connected pieces of an area without holes, largest box-top first, then from the left. */
export function pieces(area: Area): Area[] {
  return area
    .filter((ring) => signedAreaUm2(ring) > 0)
    .map((ring) => ({ piece: [ring], box: boxOf([ring]) }))
    .sort((p, q) => q.box.maxY - p.box.maxY || p.box.minX - q.box.minX || q.box.minY - p.box.minY)
    .map(({ piece }) => piece);
}

/** Whether nothing that could take a hole is left. */
export const isEmpty = (area: Area): boolean => area.length === 0 || areaMm2(area) <= 0;

function strokes(area: Area, pen: Ring): Area {
  const rings: Area = [];
  forEachEdge(area, (a, b) => rings.push(stroke(pen, a, b)));
  return rings;
}

function clip(type: ClipType, subject: Area, other: Area): Area {
  checkRange(subject);
  checkRange(other);
  const clipper = new Clipper64();
  clipper.preserveCollinear = false;
  clipper.addSubject(subject);
  if (other.length) clipper.addClip(other);
  const result: Area = [];
  if (!clipper.execute(type, FillRule.NonZero, result)) throw new Error("polygon clipping failed");
  return result.map((ring) => ring.map(({ x, y }) => ({ x, y })));
}

function checkRange(area: Area): void {
  for (const ring of area)
    for (const { x, y } of ring)
      if (
        !(Number.isInteger(x) && Number.isInteger(y)) ||
        Math.max(Math.abs(x), Math.abs(y)) > MAX_COORDINATE_UM
      )
        throw new RangeError(`expected whole micrometres within 500 m, got (${x}, ${y})`);
}
