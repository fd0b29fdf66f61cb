import type { Ceiling, Wall } from "../ceiling/types.ts";
import { forEachEdge } from "../geometry/area.ts";
import type { PointMm } from "../geometry/types.ts";
import { makeCamera, toScreen, WIDEST_ASPECT, type Seat } from "./camera.ts";
import { toMm } from "../geometry/um.ts";

/** Room left round a whole ceiling, as a part of its size. */
const MARGIN = 0.03;
/** Widest and narrowest view a seat may have, degrees (job schema: at most 140). */
const WIDEST_DEG = 140;
const NARROWEST_DEG = 40;
/** Shape of the picture a view is aimed for, and how far down it the far edge of the ceiling comes. */
const ASPECT = { widthPx: 1600, heightPx: 1000 };
const FAR_EDGE_AT = 0.92;
/** Nearer to the middle than this part of the ceiling, one looks straight up. */
const OVERHEAD = 0.12;
const STEP_MM = 300;

/** Whether a seat looks straight up. */
export function looksUp(seat: Pick<Seat, "atMm" | "lookAtMm">): boolean {
  return Math.hypot(seat.lookAtMm[0] - seat.atMm[0], seat.lookAtMm[1] - seat.atMm[1]) < 1;
}

/**
 * A seat that looks straight up, with the field that just holds the whole ceiling in a picture of this shape
 * (at most 140 degrees); any other seat as it is. Seen straight from below a ceiling is not distorted, however
 * wide the view.
 */
export function wholeCeiling(seat: Seat, ceiling: Ceiling, heightMm: number, aspect: number): Seat {
  const below = heightMm - seat.eyeMm;
  if (!looksUp(seat) || below <= 0) return seat;
  const { minX, minY, maxX, maxY } = ceiling.box;
  const [x, y] = seat.atMm;
  const halfWidth = Math.max(x - toMm(minX), toMm(maxX) - x);
  const halfDepth = Math.max(y - toMm(minY), toMm(maxY) - y);
  const half = Math.max(halfWidth, halfDepth * Math.min(aspect, WIDEST_ASPECT)) * (1 + MARGIN);
  const fieldDeg = Math.ceil((Math.atan(half / below) * 360) / Math.PI);
  return { ...seat, fieldDeg: Math.min(WIDEST_DEG, Math.max(NARROWEST_DEG, fieldDeg)) };
}

/**
 * Where somebody looks who wants the ceiling to fill the picture: towards the room's middle (straight up near it), or squarely
 * towards a wall, tilted back until the far edge of the ceiling lies low in the picture. Whole centimetres.
 */
export function lookAtFilling(
  ceiling: Ceiling,
  heightMm: number,
  seat: Pick<Seat, "atMm" | "eyeMm" | "fieldDeg">,
  wall?: Wall,
): PointMm {
  const { minX, minY, maxX, maxY } = ceiling.box;
  const [x, y] = seat.atMm;
  const [dx, dy] = wall ? towards(wall, seat.atMm) : [(minX + maxX) / 2000 - x, (minY + maxY) / 2000 - y];
  const away = Math.sqrt(dx * dx + dy * dy);
  const size = toMm(Math.min(maxX - minX, maxY - minY));
  if (away < (wall ? 1 : OVERHEAD * size) || heightMm - seat.eyeMm < STEP_MM) return [x, y];
  const edge = edgePoints(ceiling);
  const lookAt = (mm: number): PointMm => [x + (dx / away) * mm, y + (dy / away) * mm];
  const holdsFarEdge = (mm: number): boolean => {
    const view = { name: "", ...seat, lookAtMm: lookAt(mm) };
    const camera = makeCamera(view, heightMm, ASPECT.widthPx, ASPECT.heightPx);
    return edge.every(([px, py]) => {
      if ((px - x) * dx + (py - y) * dy <= 0) return true;
      const at = toScreen(camera, px, py, heightMm);
      return at === null || Math.abs(at[0] - 800) > 800 || at[1] <= FAR_EDGE_AT * ASPECT.heightPx;
    });
  };
  let near = 10;
  let far = 40 * (heightMm - seat.eyeMm);
  while (far - near > 5) {
    const mm = (near + far) / 2;
    if (holdsFarEdge(mm)) far = mm;
    else near = mm;
  }
  const [lx, ly] = lookAt(far);
  return [10 * Math.round(lx / 10), 10 * Math.round(ly / 10)];
}

/** From a place squarely to the line of a wall, mm. */
function towards({ fromUm, toUm }: Wall, [x, y]: PointMm): PointMm {
  const [ax, ay] = [toMm(fromUm.x), toMm(fromUm.y)];
  const [ux, uy] = [toMm(toUm.x) - ax, toMm(toUm.y) - ay];
  const along = ((x - ax) * ux + (y - ay) * uy) / (ux * ux + uy * uy);
  return [ax + along * ux - x, ay + along * uy - y];
}

/** The ceiling's edge as points, mm. */
function edgePoints(ceiling: Ceiling): PointMm[] {
  const points: PointMm[] = [];
  forEachEdge(ceiling.outline, (a, b) => {
    const length = toMm(Math.hypot(b.x - a.x, b.y - a.y));
    const steps = Math.max(1, Math.ceil(length / STEP_MM));
    for (let i = 0; i < steps; i++) {
      const t = i / steps;
      points.push([toMm(a.x + t * (b.x - a.x)), toMm(a.y + t * (b.y - a.y))]);
    }
  });
  return points;
}
