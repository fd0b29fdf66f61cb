import type { Point } from "./types.ts";

export interface Bulged {
  x: number;
  y: number;
  /** Tangent of a quarter of the angle of the arc to the next corner; positive bends to the right of the way there. */
  bulge?: number | undefined;
}

/** A curve is drawn out with a corner every so many radians: 2 m of radius leave 0.3 mm. */
const STEP = Math.PI / 90;

/** Points of an elliptic arc, both ends included, once round at most. `major` is the half axis that angle 0 points along. */
export function arc(centre: Point, major: Point, ratio: number, from: number, to: number): Point[] {
  const sweep = Math.max(-2 * Math.PI, Math.min(2 * Math.PI, to - from));
  const steps = Math.max(1, Math.ceil(Math.abs(sweep) / STEP - 1e-9));
  return Array.from({ length: steps + 1 }, (_, k) => {
    const angle = from + (sweep * k) / steps;
    const [c, s] = [Math.cos(angle), Math.sin(angle) * ratio];
    return [centre[0] + major[0] * c - major[1] * s, centre[1] + major[1] * c + major[0] * s];
  });
}

/** The corners of a polyline whose sides may be arcs; a closed one does not repeat its first corner. */
export function bulged(corners: readonly Bulged[], closed: boolean): Point[] {
  const points: Point[] = [];
  corners.forEach((a, i) => {
    points.push([a.x, a.y]);
    const b = corners[(i + 1) % corners.length]!;
    if (!a.bulge || (i === corners.length - 1 && !closed) || (a.x === b.x && a.y === b.y)) return;
    // centre on the perpendicular through the middle of the chord, 1 - bulge^2 over 4 bulge chords from it
    const out = (1 - a.bulge * a.bulge) / (4 * a.bulge);
    const centre: Point = [(a.x + b.x) / 2 - (b.y - a.y) * out, (a.y + b.y) / 2 + (b.x - a.x) * out];
    const start = Math.atan2(a.y - centre[1], a.x - centre[0]);
    const radius = Math.hypot(a.x - centre[0], a.y - centre[1]);
    points.push(...arc(centre, [radius, 0], 1, start, start + 4 * Math.atan(a.bulge)).slice(1, -1));
  });
  return points;
}
