import { cross, onSegment, signedAreaUm2 } from "./measure.ts";
import type { PointUm, Ring } from "./types.ts";

export interface PolygonFault {
  kind: "too few points" | "repeated point" | "crossing" | "zero area";
  /** Edges concerned, counted from 0: edge i runs from point i to the next. */
  edges: number[];
  /** What was found, in words; points counted from 1. */
  text: string;
}

/** Why a ring isn't a simple polygon (edges that meet nowhere but at their common corner), or null. Exact. */
export function simplePolygonFault(ring: Ring): PolygonFault | null {
  const n = ring.length;
  if (n < 3) return { kind: "too few points", edges: [], text: `${n} points` };
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    if (same(ring[i]!, ring[j]!))
      return { kind: "repeated point", edges: [i], text: `points ${i + 1} and ${j + 1} are the same` };
  }
  if (ring.every((p) => cross(ring[0]!, ring[1]!, p.x, p.y) === 0))
    return { kind: "zero area", edges: [], text: "all points on one line" };
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) {
      const fault = edgePairFault(ring, i, j);
      if (fault) return fault;
    }
  return signedAreaUm2(ring) === 0 ? { kind: "zero area", edges: [], text: "an area of 0" } : null;
}

const same = (p: PointUm, q: PointUm) => p.x === q.x && p.y === q.y;

function edgePairFault(ring: Ring, i: number, j: number): PolygonFault | null {
  const n = ring.length;
  const [a, b] = [ring[i]!, ring[(i + 1) % n]!];
  const [c, d] = [ring[j]!, ring[(j + 1) % n]!];
  const edges = [i, j];
  const names = `edge ${edgeName(i, n)} and edge ${edgeName(j, n)}`;
  if (j === i + 1) return onSegment(a, b, d.x, d.y) || onSegment(c, d, a.x, a.y) ? doublesBack() : null;
  if (i === 0 && j === n - 1)
    return onSegment(a, b, c.x, c.y) || onSegment(c, d, b.x, b.y) ? doublesBack() : null;
  if (!segmentsMeet(a, b, c, d)) return null;
  return { kind: "crossing", edges, text: `${names} cross or touch` };

  function doublesBack(): PolygonFault {
    return { kind: "crossing", edges, text: `${names} run back over one another` };
  }
}

const edgeName = (i: number, n: number) => `${i + 1}-${((i + 1) % n) + 1}`;

/** Whether two segments share a point. Exact. */
function segmentsMeet(a: PointUm, b: PointUm, c: PointUm, d: PointUm): boolean {
  if (Math.max(a.x, b.x) < Math.min(c.x, d.x) || Math.max(c.x, d.x) < Math.min(a.x, b.x)) return false;
  if (Math.max(a.y, b.y) < Math.min(c.y, d.y) || Math.max(c.y, d.y) < Math.min(a.y, b.y)) return false;
  const acd = Math.sign(cross(c, d, a.x, a.y));
  const bcd = Math.sign(cross(c, d, b.x, b.y));
  const cab = Math.sign(cross(a, b, c.x, c.y));
  const dab = Math.sign(cross(a, b, d.x, d.y));
  return acd * bcd <= 0 && cab * dab <= 0;
}
