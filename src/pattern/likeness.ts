import type { Density } from "./density.ts";
import { Board, FILLER } from "./board.ts";
import { Buckets } from "./buckets.ts";
import { seededRandom } from "./random.ts";
import type { Room } from "./room.ts";
import { distanceToEdge } from "./spot.ts";

/** Does the grid show, is it natural chance, does the band stand where it stands in the sky? */
export interface Likeness {
  /**
   * Real holes within 2 mm of a usable edge, times the share of the usable area that lies so near: 1 where
   * nothing draws an edge.
   */
  edgeExcess: number;
  /**
   * Mean distance to the nearest hole over that of chance points, as many in the same tiles with the same
   * smallest distance (Clark & Evans, Ecology 35, 1954, against a drawn field): 1 by chance, 2.1 for a lattice.
   */
  nearestNeighbour: number;
  /** Correlation over tiles of holes per area with the Milky Way's brightness behind; null where there is none. */
  band: number | null;
}

const EDGE_UM = 2000;
/** Chance fields drawn and averaged: fewer for very many holes. */
const FIELDS = 4;
const HOLES_IN_FIELDS = 8000;
/** Random stream of the chance fields, apart from the one that draws points. */
const STREAM = 1954;
/** Darts for each hole of a chance field: more than this, and the tile is as full as chance gets it. */
const MOST_DARTS = 200;

/** Places in whole micrometres with the index of their tile in Room.tiles. */
export interface Placed {
  x: number[];
  y: number[];
  tile: number[];
}

export function measureLikeness({
  room,
  all,
  real,
  spacingUm,
  seed,
  milkyWay,
}: {
  room: Room;
  all: Placed;
  real: Placed;
  spacingUm: number;
  seed: number;
  milkyWay: () => Density;
}): Likeness {
  return {
    edgeExcess: edgeExcess(room, real),
    nearestNeighbour:
      all.x.length > 1 ? meanNearest(room, all) / chanceNearest(room, all, spacingUm, seed) : 1,
    band: band(room, all, milkyWay()),
  };
}

function edgeExcess(room: Room, { x, y, tile }: Placed): number {
  if (x.length === 0) return 0;
  const near = x.filter((_, k) => distanceToEdge(room, tile[k]!, x[k]!, y[k]!) < EDGE_UM).length;
  let lengthUm = 0;
  for (const { edges } of room.tiles)
    for (let i = 0; i < edges.length; i += 4) {
      const dx = edges[i + 2]! - edges[i]!;
      const dy = edges[i + 3]! - edges[i + 1]!;
      lengthUm += Math.sqrt(dx * dx + dy * dy);
    }
  const share = (lengthUm * EDGE_UM) / (room.usableMm2 * 1e6);
  return near / x.length / Math.min(1, share);
}

/** Mean distance from each place to the nearest other one, in micrometres. */
function meanNearest(room: Room, { x, y }: Pick<Placed, "x" | "y">): number {
  const { minX, minY, maxX, maxY } = room.box;
  const cell = Math.sqrt(((maxX - minX) / x.length) * (maxY - minY));
  const buckets = new Buckets(room.box, cell);
  x.forEach((_, k) => buckets.insert(k, x[k]!, y[k]!));
  const found: number[] = [];
  let sum = 0;
  for (let k = 0; k < x.length; k++) {
    let best2 = Infinity;
    for (let r = cell; best2 > r * r; r *= 2) {
      const count = buckets.gather(x[k]!, y[k]!, r, found);
      for (let n = 0; n < count; n++) {
        const other = found[n]!;
        const dx = x[other]! - x[k]!;
        const dy = y[other]! - y[k]!;
        if (other !== k) best2 = Math.min(best2, dx * dx + dy * dy);
      }
    }
    sum += Math.sqrt(best2);
  }
  return sum / x.length;
}

/** The same of chance points: as many in each tile, no two nearer than the spacing. */
function chanceNearest(room: Room, { tile }: Placed, spacingUm: number, seed: number): number {
  const random = seededRandom(seed, STREAM);
  const perTile = new Int32Array(room.tiles.length);
  for (const t of tile) perTile[t]!++;
  const fields = Math.max(1, Math.min(FIELDS, Math.floor(HOLES_IN_FIELDS / tile.length)));
  let sum = 0;
  for (let field = 0; field < fields; field++) {
    const board = new Board(room, spacingUm, tile.length);
    room.tiles.forEach(({ box, contains }, t) => {
      for (let darts = MOST_DARTS * perTile[t]!; darts > 0 && board.perTile[t]! < perTile[t]!; darts--) {
        const x = box.minX + random.below(box.maxX - box.minX + 1);
        const y = box.minY + random.below(box.maxY - box.minY + 1);
        if (contains(x, y) && !board.blocked(x, y)) board.add(x, y, t, FILLER);
      }
    });
    sum += board.count > 1 ? meanNearest(room, board) : 1;
  }
  return sum / fields;
}

function band(room: Room, { tile }: Placed, milkyWay: Density): number | null {
  const light = new Float64Array(room.tiles.length);
  const area = new Float64Array(room.tiles.length);
  for (let i = 0; i < milkyWay.count; i++) {
    light[milkyWay.tile[i]!]! += milkyWay.wish[i]! * milkyWay.areaMm2[i]!;
    area[milkyWay.tile[i]!]! += milkyWay.areaMm2[i]!;
  }
  const holes = new Float64Array(room.tiles.length);
  for (const t of tile) holes[t]!++;
  const used = [...area.keys()].filter((t) => area[t]! > 0);
  return correlation(used.map((t) => light[t]! / area[t]!), used.map((t) => holes[t]! / area[t]!), used.map((t) => area[t]!)); // prettier-ignore
}

/** Pearson's correlation with weights; null where one of the two doesn't vary. */
function correlation(a: number[], b: number[], weight: number[]): number | null {
  const total = weight.reduce((sum, w) => sum + w, 0);
  const mean = (v: number[]) => v.reduce((sum, value, k) => sum + value * weight[k]!, 0) / total;
  const [meanA, meanB] = [mean(a), mean(b)];
  let [aa, bb, ab] = [0, 0, 0];
  a.forEach((value, k) => {
    aa += weight[k]! * (value - meanA) ** 2;
    bb += weight[k]! * (b[k]! - meanB) ** 2;
    ab += weight[k]! * (value - meanA) * (b[k]! - meanB);
  });
  const scale = Math.sqrt(aa * bb);
  return scale > 0 ? ab / scale : null;
}
