import { subtract } from "../geometry/area.ts";
import { areaMm2, boxArea, boxOf, forEachEdge, isBox, pieces, prepareArea } from "../geometry/area.ts";
import type { Tile } from "../ceiling/types.ts";
import type { BoxUm, PointUm } from "../geometry/types.ts";
import { bandFor, ease } from "./band.ts";

/** A piece that is missing from the box of a tile's clear area: under a zone, or cut off by a wall. */
export interface Gap {
  box: BoxUm;
  contains(x: number, y: number): boolean;
  /** Its edges towards usable area, ax, ay, bx, by, ..., the gap on their left. */
  edges: Float64Array;
  /** How deep inside the gap sky can lie, at most. */
  depthUm: number;
}

/** The missing pieces of a tile within the box of its clear area. */
export function gapsOf(tile: Tile, frame: BoxUm): Gap[] {
  if (isBox(tile.usable) && sameBox(boxOf(tile.usable), frame)) return [];
  return pieces(subtract(boxArea(frame), tile.usable)).map((piece) => {
    const box = boxOf(piece);
    const edges: number[] = [];
    let length = 0;
    forEachEdge(piece, (a, b) => {
      if (alongFrame(frame, a, b)) return;
      edges.push(a.x, a.y, b.x, b.y);
      length += Math.sqrt((b.x - a.x) ** 2 + (b.y - a.y) ** 2);
    });
    // Twice area over perimeter is the radius of a circle, half the side of a square, the width of a strip
    // that one side is open to.
    const thickness = length > 0 ? (2e6 * areaMm2(piece)) / length : 0;
    const depthUm = Math.min(thickness, box.maxX - box.minX, box.maxY - box.minY);
    return { box, contains: prepareArea(piece).contains, edges: Float64Array.from(edges), depthUm };
  });
}

/**
 * A point pushed out of a gap, or away from its edge, as `ease` says, along the shortest way; null where it
 * lies deeper inside than `most`.
 */
export function pushOut(gap: Gap, x: number, y: number, most: number, share: number): PointUm | null {
  const band = bandFor(Math.min(gap.depthUm, most), Infinity);
  const far = Math.max(band.deep * share, band.hidden);
  const { minX, minY, maxX, maxY } = gap.box;
  if (x < minX - far || x > maxX + far || y < minY - far || y > maxY + far) return { x, y };
  const foot = nearestFoot(gap.edges, x, y);
  if (!foot) return { x, y };
  const within = gap.contains(x, y);
  const distance = Math.sqrt(foot.d2);
  const outside = within ? -distance : distance;
  const eased = ease(outside, band, share);
  if (eased === null) return null;
  const [nx, ny] = distance > 0 ? [(x - foot.x) / outside, (y - foot.y) / outside] : [foot.outX, foot.outY];
  return { x: foot.x + nx * eased, y: foot.y + ny * eased };
}

function nearestFoot(edges: Float64Array, x: number, y: number) {
  let best = -1;
  let bestT = 0;
  let d2 = Infinity;
  for (let i = 0; i < edges.length; i += 4) {
    const dx = edges[i + 2]! - edges[i]!;
    const dy = edges[i + 3]! - edges[i + 1]!;
    const along = ((x - edges[i]!) * dx + (y - edges[i + 1]!) * dy) / (dx * dx + dy * dy);
    const t = Math.min(1, Math.max(0, along));
    const here = (edges[i]! + t * dx - x) ** 2 + (edges[i + 1]! + t * dy - y) ** 2;
    if (here >= d2) continue;
    d2 = here;
    best = i;
    bestT = t;
  }
  if (best < 0) return null;
  const dx = edges[best + 2]! - edges[best]!;
  const dy = edges[best + 3]! - edges[best + 1]!;
  const length = Math.sqrt(dx * dx + dy * dy);
  return {
    x: edges[best]! + bestT * dx,
    y: edges[best + 1]! + bestT * dy,
    d2,
    outX: dy / length,
    outY: -dx / length,
  };
}

const sameBox = (a: BoxUm, b: BoxUm) =>
  a.minX === b.minX && a.minY === b.minY && a.maxX === b.maxX && a.maxY === b.maxY;

const alongFrame = (frame: BoxUm, a: PointUm, b: PointUm) =>
  (a.x === b.x && (a.x === frame.minX || a.x === frame.maxX)) ||
  (a.y === b.y && (a.y === frame.minY || a.y === frame.maxY));
