import type { Area, BoxUm, PointUm, Ring } from "./types.ts";

/**
 * Twice the signed area of triangle abp: positive where p lies left of a -> b. Exact while the three
 * points lie within 60 m of one another.
 */
export function cross(a: PointUm, b: PointUm, x: number, y: number): number {
  return (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x);
}

/** Calls `visit` for every edge of an area. */
export function forEachEdge(area: Area, visit: (a: PointUm, b: PointUm) => void): void {
  for (const ring of area) {
    let a = ring[ring.length - 1]!;
    for (const b of ring) {
      visit(a, b);
      a = b;
    }
  }
}

/** Whether a point lies in the area (even-odd). The boundary counts as inside. Exact. */
export function containsPoint(area: Area, x: number, y: number): boolean {
  let inside = false;
  for (const ring of area) {
    let a = ring[ring.length - 1]!;
    for (const b of ring) {
      const above = a.y > y;
      if (above !== b.y > y) {
        const side = cross(a, b, x, y);
        if (side === 0) return true;
        if (side > 0 !== above) inside = !inside;
      } else if ((a.y === y || b.y === y) && onSegment(a, b, x, y)) return true;
      a = b;
    }
  }
  return inside;
}

/** Whether a point lies on the segment ab, ends included. Exact. */
export function onSegment(a: PointUm, b: PointUm, x: number, y: number): boolean {
  return (
    x >= Math.min(a.x, b.x) &&
    x <= Math.max(a.x, b.x) &&
    y >= Math.min(a.y, b.y) &&
    y <= Math.max(a.y, b.y) &&
    cross(a, b, x, y) === 0
  );
}

/** Signed area of a ring in square micrometres: positive counter-clockwise (shoelace). */
export function signedAreaUm2(ring: Ring): number {
  const origin = ring[0];
  if (!origin) return 0;
  let twice = 0;
  for (let i = 1; i + 1 < ring.length; i++) twice += cross(origin, ring[i]!, ring[i + 1]!.x, ring[i + 1]!.y);
  return twice / 2;
}

/** Area in square millimetres; holes (clockwise rings) count negative. */
export function areaMm2(area: Area): number {
  let sum = 0;
  for (const ring of area) sum += signedAreaUm2(ring);
  return sum / 1e6;
}

/** Bounding box. The empty area has an empty box: minX > maxX. */
export function boxOf(area: Area): BoxUm {
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (const ring of area)
    for (const { x, y } of ring) {
      if (x < box.minX) box.minX = x;
      if (y < box.minY) box.minY = y;
      if (x > box.maxX) box.maxX = x;
      if (y > box.maxY) box.maxY = y;
    }
  return box;
}

/** Whether two boxes share a point. */
export function boxesTouch(a: BoxUm, b: BoxUm): boolean {
  return a.minX <= b.maxX && b.minX <= a.maxX && a.minY <= b.maxY && b.minY <= a.maxY;
}

/** What two boxes share; empty (minX > maxX or minY > maxY) where they don't touch. */
export function boxOverlap(a: BoxUm, b: BoxUm): BoxUm {
  return {
    minX: Math.max(a.minX, b.minX),
    minY: Math.max(a.minY, b.minY),
    maxX: Math.min(a.maxX, b.maxX),
    maxY: Math.min(a.maxY, b.maxY),
  };
}

/** The box as an area; [] where it has no extent. */
export function boxArea({ minX, minY, maxX, maxY }: BoxUm): Area {
  if (!(maxX > minX && maxY > minY)) return [];
  return [
    [
      { x: minX, y: minY },
      { x: maxX, y: minY },
      { x: maxX, y: maxY },
      { x: minX, y: maxY },
    ],
  ];
}

/** Whether the area is one upright rectangle (then it equals its box). */
export function isBox(area: Area): boolean {
  const ring = area[0];
  if (area.length !== 1 || ring?.length !== 4) return false;
  const { minX, minY, maxX, maxY } = boxOf(area);
  return ring.every(({ x, y }, i) => {
    const next = ring[(i + 1) % 4]!;
    return (x === minX || x === maxX) && (y === minY || y === maxY) && (x === next.x) !== (y === next.y);
  });
}

/** Nearest point of segment ab to (x, y), not rounded. Uses + - * / only, so it's alike in every engine. */
export function nearestOnSegment(a: PointUm, b: PointUm, x: number, y: number): PointUm {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const length2 = dx * dx + dy * dy;
  const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((x - a.x) * dx + (y - a.y) * dy) / length2));
  return { x: a.x + t * dx, y: a.y + t * dy };
}

/** Nearest point of the area's boundary and its squared distance (um2); null for the empty area. */
export function nearestOnBoundary(
  area: Area,
  x: number,
  y: number,
): { point: PointUm; distance2: number } | null {
  let best: { point: PointUm; distance2: number } | null = null;
  forEachEdge(area, (a, b) => {
    const point = nearestOnSegment(a, b, x, y);
    const distance2 = (point.x - x) ** 2 + (point.y - y) ** 2;
    if (!best || distance2 < best.distance2) best = { point, distance2 };
  });
  return best;
}

/** Distance from a point to a ring's line (not its inside), in micrometres. */
export function distanceToRing(ring: Ring, x: number, y: number): number {
  const nearest = nearestOnBoundary([ring], x, y);
  return nearest ? Math.sqrt(nearest.distance2) : Infinity;
}
