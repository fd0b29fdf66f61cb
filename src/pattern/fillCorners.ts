import { FILLER, type Board } from "./board.ts";
import { circleCircle, freeBeside, segmentCircle } from "./corners.ts";
import type { Filling } from "./filler.ts";
import type { Random } from "./random.ts";
import type { Room } from "./room.ts";

/**
 * The last pass of filling. What is free in a tile is bounded by edges and by circles that bulge into it, so
 * it has a corner as long as there is any of it: all corners are tried, tile after tile in turn, and each new
 * hole brings its own. Ends when the count is met or no free corner is left.
 */
export function fillCorners(
  { room, board, random, stop }: Omit<Filling, "density">,
  left: () => number,
  leftIn: (tile: number) => number,
): void {
  let queue = shuffled(room.tiles.length, random).map((tile) => ({
    tile,
    corners: cornersOf(room, board, tile),
  }));
  while (left() > 0 && queue.length > 0) {
    queue = queue.filter(({ tile, corners }) => {
      stop();
      if (left() <= 0 || leftIn(tile) <= 0) return false;
      for (let at = corners.pop(); at; at = corners.pop()) {
        const place = freeBeside(room, board, at[0], at[1], at[0], at[1], (t) => t === tile);
        if (!place) continue;
        const hole = board.add(place.x, place.y, tile, FILLER);
        cornersRound(room, board, tile, hole, corners);
        return true;
      }
      return false;
    });
  }
}

type Corner = [x: number, y: number];

function cornersOf(room: Room, board: Board, tile: number): Corner[] {
  const corners: Corner[] = [];
  const { edges, box } = room.tiles[tile]!;
  for (let i = 0; i < edges.length; i += 4) corners.push([edges[i]!, edges[i + 1]!]);
  const s = board.spacingUm;
  const x = (box.minX + box.maxX) / 2;
  const y = (box.minY + box.maxY) / 2;
  const halfWidth = (box.maxX - box.minX) / 2;
  const halfHeight = (box.maxY - box.minY) / 2;
  const reach = Math.sqrt(halfWidth * halfWidth + halfHeight * halfHeight) + s;
  const holes = board.within(x, y, reach).sort((p, q) => p - q);
  for (const hole of holes) cornersRound(room, board, tile, hole, corners, (other) => other > hole);
  return corners;
}

/** Adds the corners on one hole's spacing circle: with the tile's edges, and with the circles of neighbours. */
// eslint-disable-next-line max-params -- called in the inner loop
function cornersRound(
  room: Room,
  board: Board,
  tile: number,
  hole: number,
  corners: Corner[],
  counts: (other: number) => boolean = (other) => other !== hole,
): void {
  const s = board.spacingUm;
  const x = board.x[hole]!;
  const y = board.y[hole]!;
  const visit = (cx: number, cy: number) => corners.push([cx, cy]);
  const { edges, box } = room.tiles[tile]!;
  if (x < box.minX - s || x > box.maxX + s || y < box.minY - s || y > box.maxY + s) return;
  for (let i = 0; i < edges.length; i += 4)
    segmentCircle(edges[i]!, edges[i + 1]!, edges[i + 2]!, edges[i + 3]!, x, y, s, visit);
  for (const other of board.within(x, y, 2 * s).sort((p, q) => p - q))
    if (counts(other)) circleCircle(x, y, board.x[other]!, board.y[other]!, s, visit);
}

function shuffled(count: number, random: Random): number[] {
  const order = Array.from({ length: count }, (_, i) => i);
  for (let i = count - 1; i > 0; i--) {
    const j = random.below(i + 1);
    [order[i], order[j]] = [order[j]!, order[i]!];
  }
  return order;
}
