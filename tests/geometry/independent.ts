/**
 * Geometry worked out a second way for the tests, sharing no code with src: winding numbers by angles
 * instead of crossings, distances by hypot, areas by the trapezoid form of the shoelace.
 */
export type P = { x: number; y: number };

/** Whether p lies inside a ring, by the sum of the angles under which its edges are seen. */
export function windsRound(ring: P[], p: P): boolean {
  let turn = 0;
  ring.forEach((a, i) => {
    const b = ring[(i + 1) % ring.length]!;
    let angle = Math.atan2(b.y - p.y, b.x - p.x) - Math.atan2(a.y - p.y, a.x - p.x);
    if (angle > Math.PI) angle -= 2 * Math.PI;
    if (angle < -Math.PI) angle += 2 * Math.PI;
    turn += angle;
  });
  return Math.abs(turn) > Math.PI;
}

export function distanceToSegment(a: P, b: P, p: P): number {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  if (length === 0) return Math.hypot(p.x - a.x, p.y - a.y);
  const ux = (b.x - a.x) / length;
  const uy = (b.y - a.y) / length;
  const along = (p.x - a.x) * ux + (p.y - a.y) * uy;
  if (along <= 0) return Math.hypot(p.x - a.x, p.y - a.y);
  if (along >= length) return Math.hypot(p.x - b.x, p.y - b.y);
  return Math.abs((p.x - a.x) * uy - (p.y - a.y) * ux);
}

export const distanceToLine = (ring: P[], p: P): number =>
  Math.min(...ring.map((a, i) => distanceToSegment(a, ring[(i + 1) % ring.length]!, p)));

/** 0 inside. */
export const distanceToPolygon = (ring: P[], p: P): number =>
  windsRound(ring, p) ? 0 : distanceToLine(ring, p);

export const trapezoidArea = (ring: P[]): number =>
  Math.abs(
    ring.reduce(
      (sum, a, i) =>
        sum + ((ring[(i + 1) % ring.length]!.x - a.x) * (ring[(i + 1) % ring.length]!.y + a.y)) / 2,
      0,
    ),
  );

/** A star-shaped polygon: corners at rising angles, radius by corner. Never crosses itself. */
export function starShaped(centre: P, radii: number[]): P[] {
  return radii.map((r, i) => {
    const angle = (2 * Math.PI * i) / radii.length;
    return { x: Math.round(centre.x + r * Math.cos(angle)), y: Math.round(centre.y + r * Math.sin(angle)) };
  });
}
