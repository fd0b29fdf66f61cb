import type { PointUm } from "../geometry/types.ts";
import type { Board } from "./board.ts";
import { circleCircle, freeBeside, LATTICE_SLACK_UM, segmentCircle, type TilePoint } from "./corners.ts";
import type { Room } from "./room.ts";

/** Where a hole can go, and how far that is from where it should be, in micrometres. */
export interface Spot extends TilePoint {
  movedUm: number;
}

interface Candidate {
  x: number;
  y: number;
  d2: number;
}

const anyTile = () => true;

/** A circle that a spot must lie in. */
export interface Disc {
  x: number;
  y: number;
  r: number;
}

/**
 * Once this many neighbours have been looked at for one ceiling (`Board.looks`), spots are sought only beside
 * the place asked for. No sensible job comes near it; one whose stars all crowd in one place ends in time.
 */
const MOST_LOOKS = 60_000_000;
/** So many spacings away, that is. */
const BESIDE = 4;

/**
 * The nearest free usable point to (x, y), or null where none lies within `limitUm` and the disc, if any.
 * Whole micrometres in and out. `open` says which tiles may be used.
 *
 * The nearest point of an area bounded by segments and circles is the point itself, a foot on a segment,
 * the point of a circle on the ray from its centre, or a crossing: these few candidates are tried from the
 * nearest on. Rounding to the lattice costs at most LATTICE_SLACK_UM.
 */
// eslint-disable-next-line max-params -- called in the inner loop
export function nearestSpot(
  room: Room,
  board: Board,
  x: number,
  y: number,
  limitUm: number,
  open: (tile: number) => boolean = anyTile,
  disc?: Disc,
): Spot | null {
  const here = room.tileAt(x, y);
  if (here >= 0 && open(here) && !board.blocked(x, y)) return { x, y, tile: here, movedUm: 0 };
  const most = board.looks < MOST_LOOKS ? limitUm : Math.min(limitUm, BESIDE * board.spacingUm);
  // Widening search: whatever bounds a spot within r lies within r (edges) or r + spacing (holes).
  let tried2 = -1;
  for (let r = Math.min(most, 2 * board.spacingUm); ; r = Math.min(most, 2 * r)) {
    for (const { x: cx, y: cy, d2: farther2 } of candidates(room, board, x, y, r, open, disc)) {
      if (farther2 <= tried2) continue;
      const place = freeBeside(room, board, cx, cy, x, y, open);
      if (!place || (disc && !inDisc(disc, place))) continue;
      const d2 = (place.x - x) ** 2 + (place.y - y) ** 2;
      if (d2 <= limitUm * limitUm) return { ...place, movedUm: Math.sqrt(d2) };
    }
    if (r >= most) return null;
    tried2 = r * r;
  }
}

export const inDisc = ({ x, y, r }: Disc, place: PointUm): boolean =>
  (place.x - x) ** 2 + (place.y - y) ** 2 <= r * r;

/** Distance from (x, y) to the nearest usable point, other holes left aside; Infinity beyond reach. */
export function distanceToUsable(room: Room, x: number, y: number, reachUm: number): number {
  if (room.tileAt(x, y) >= 0) return 0;
  const foot = nearestEdge(room, x, y, reachUm);
  return foot ? Math.sqrt(foot.d2) : Infinity;
}

/** The point of any edge of usable area that is nearest to (x, y), not rounded; null beyond reach. */
export function nearestEdge(room: Room, x: number, y: number, reachUm: number): Candidate | null {
  let best: Candidate | null = null;
  let best2 = reachUm * reachUm;
  for (const index of room.tilesNear(x, y, reachUm)) {
    const edges = room.tiles[index]!.edges;
    for (let i = 0; i < edges.length; i += 4) {
      const foot = footOn(edges, i, x, y);
      if (foot.d2 > best2) continue;
      best2 = foot.d2;
      best = foot;
    }
  }
  return best;
}

/** Distance from (x, y) to the nearest edge of a tile's usable area, in micrometres. */
export function distanceToEdge(room: Room, tile: number, x: number, y: number): number {
  const { edges } = room.tiles[tile]!;
  let least2 = Infinity;
  for (let i = 0; i < edges.length; i += 4) least2 = Math.min(least2, footOn(edges, i, x, y).d2);
  return Math.sqrt(least2);
}

// eslint-disable-next-line max-params -- called in the inner loop
function candidates(
  room: Room,
  board: Board,
  x: number,
  y: number,
  r: number,
  open: (tile: number) => boolean,
  disc: Disc | undefined,
): Candidate[] {
  const found: Candidate[] = [];
  const limit2 = (r + LATTICE_SLACK_UM) ** 2;
  const visit = (cx: number, cy: number) => {
    const d2 = (cx - x) ** 2 + (cy - y) ** 2;
    if (d2 <= limit2) found.push({ x: cx, y: cy, d2 });
  };
  const s = board.spacingUm;
  const holes = board.within(x, y, r + s).sort((p, q) => p - q);
  // where the disc itself may bound a spot, its rim is an edge like others
  const rim =
    disc && !inDisc({ ...disc, r: Math.max(0, disc.r - r) }, { x, y }) ? disc.r - LATTICE_SLACK_UM : 0;
  for (const index of room.tilesNear(x, y, r)) {
    if (!open(index)) continue;
    const edges = room.tiles[index]!.edges;
    for (let i = 0; i < edges.length; i += 4) {
      const foot = footOn(edges, i, x, y);
      if (foot.d2 > limit2) continue;
      found.push(foot);
      if (rim > 0) segmentCircle(edges[i]!, edges[i + 1]!, edges[i + 2]!, edges[i + 3]!, disc!.x, disc!.y, rim, visit); // prettier-ignore
      for (const id of holes)
        segmentCircle(
          edges[i]!,
          edges[i + 1]!,
          edges[i + 2]!,
          edges[i + 3]!,
          board.x[id]!,
          board.y[id]!,
          s,
          visit,
        );
    }
  }
  for (const id of holes) {
    const hx = board.x[id]!;
    const hy = board.y[id]!;
    onRay(hx, hy, x, y, s, visit);
    if (rim > 0) circleCircle(hx, hy, disc!.x, disc!.y, s, visit, rim);
    for (const other of board.within(hx, hy, 2 * s))
      if (other > id) circleCircle(hx, hy, board.x[other]!, board.y[other]!, s, visit);
  }
  return found.sort((p, q) => p.d2 - q.d2 || p.x - q.x || p.y - q.y);
}

/** Nearest point to (x, y) of the circle of radius s round a hole; four of the equally near ones at its centre. */
// eslint-disable-next-line max-params -- called in the inner loop
function onRay(
  hx: number,
  hy: number,
  x: number,
  y: number,
  s: number,
  visit: (x: number, y: number) => void,
): void {
  const dx = x - hx;
  const dy = y - hy;
  const d = Math.sqrt(dx * dx + dy * dy);
  if (d >= s) return;
  if (d > 0) visit(hx + (dx / d) * s, hy + (dy / d) * s);
  else for (const [ux, uy] of [[s, 0], [-s, 0], [0, s], [0, -s]] as const) visit(hx + ux, hy + uy); // prettier-ignore
}

function footOn(edges: Float64Array, i: number, x: number, y: number): Candidate {
  const ax = edges[i]!;
  const ay = edges[i + 1]!;
  const dx = edges[i + 2]! - ax;
  const dy = edges[i + 3]! - ay;
  const length2 = dx * dx + dy * dy;
  const t = length2 === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / length2));
  const fx = ax + t * dx;
  const fy = ay + t * dy;
  return { x: fx, y: fy, d2: (fx - x) ** 2 + (fy - y) ** 2 };
}
