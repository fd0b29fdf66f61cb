import { tileAt } from "../ceiling/find.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { toUm } from "../geometry/um.ts";
import type { SkyObjectId } from "../job/sections/pattern.ts";
import { FILLER } from "./board.ts";
import { Fate } from "./fate.ts";
import { indexOfObjects, type SkyObjects } from "./objects.ts";
import type { PatternInput } from "./pattern.ts";
import type { Room } from "./room.ts";
import { countStrands } from "./packing.ts";
import { thickestFirst, type Strands } from "./rungs.ts";
import type { Settlement } from "./settlement.ts";
import type { Hole, Standing } from "./types.ts";

const NOTHING: Standing = { holes: [], tiles: new Set(), most: Infinity };

/** What stands already, as settling needs it. */
export interface Found {
  /** Strands that it leaves, and how many of them may be used. */
  stock: Strands[];
  use: number;
  /** Each on the board, with the object that it shows in this sky, or FILLER. `tile` is -1 where nothing else fits on it. */
  holes: { x: number; y: number; tile: number; object: number; hole: Hole }[];
  /** How many of them show an object of this sky. */
  claimed: number;
  /** 1 for tiles that take no more, by index in Room.tiles. */
  shut: Uint8Array;
  /** Objects that need no place any more: shown already, or over a tile that takes no more. */
  taken: Uint8Array;
}

/**
 * Looks for what stands among the objects of this sky. A hole shows its star as long as the star is within the reach of
 * bright ones from it; under another sky it is a point that is there, and the star shines where it is now.
 */
export function findStanding(
  { standing = NOTHING, strands, pattern, frame, ceiling }: PatternInput,
  objects: SkyObjects,
  room: Room,
): Found {
  const inStock = strands.stock.reduce((sum, { count }) => sum + count, 0);
  const use = Math.min(strands.use ?? inStock, inStock);
  const taken = new Uint8Array(objects.count);
  const shut = Uint8Array.from(room.tiles, ({ tile }) => (standing.tiles.has(tile.name) ? 1 : 0));
  const { stock } = strands;
  if (standing.tiles.size === 0) return { stock, use, holes: [], claimed: 0, shut, taken };

  const indexOf = indexOfObjects(objects, frame);
  const tiles = new Map(room.tiles.map(({ tile }, t) => [tile.name, t]));
  const reachUm = toUm(Math.max(pattern.reachMm, pattern.brightReachMm));
  const holes = standing.holes.map((hole) => {
    const [x, y] = [toUm(hole.xMm), toUm(hole.yMm)];
    const i = indexOf.get(idOf(hole) ?? 0) ?? FILLER;
    const shown = i >= 0 && !taken[i] && (objects.x[i]! - x) ** 2 + (objects.y[i]! - y) ** 2 <= reachUm ** 2;
    if (shown) taken[i] = 1;
    return { x, y, tile: tiles.get(hole.tile) ?? -1, object: shown ? i : FILLER, hole };
  });
  const claimed = holes.filter(({ object }) => object >= 0).length;
  for (let i = 0; i < objects.count; i++) {
    const tile = taken[i] ? null : tileAt(ceiling, objects.x[i]!, objects.y[i]!);
    if (tile && standing.tiles.has(tile.name)) taken[i] = 1;
  }
  return {
    ...strandsLeft(stock, Math.min(use, standing.most + countStrands(standing.holes)), standing.holes),
    holes,
    claimed,
    shut,
    taken,
  };
}

const idOf = ({ kind, star, name }: Hole): SkyObjectId | null =>
  kind === "moon" || kind === "planet" ? (name.toLowerCase() as SkyObjectId) : star;

/** What standing holes leave of the stock; nobody can owe strands. */
function strandsLeft(
  stock: Strands[],
  use: number,
  holes: readonly Hole[],
): { stock: Strands[]; use: number } {
  const given = new Map<number, number>();
  for (const { diameterMm, strands } of holes) given.set(diameterMm, (given.get(diameterMm) ?? 0) + strands);
  const left = thickestFirst(stock).map(({ diameterMm, count }) => ({
    diameterMm,
    count: Math.max(0, count - (given.get(diameterMm) ?? 0)),
  }));
  const most = left.reduce((sum, { count }) => sum + count, 0);
  return { stock: left, use: Math.max(0, Math.min(use - countStrands(holes), most)) };
}

/** The magnitudes, by index of their object, of those that still seek a place. */
export function seeking(milli: Int32Array, { taken }: Found): Int32Array {
  return taken.includes(1) ? milli.filter((_, i) => !taken[i]) : milli;
}

/** Puts what stands on an empty ceiling. */
export function settleStanding(s: Settlement, { holes, taken }: Found): void {
  for (const { x, y, tile, object, hole } of holes)
    if (object === FILLER) s.input.board.add(x, y, tile, FILLER, true);
    else {
      s.pin(object, x, y, tile);
      s.deeper[object] = hole.deeper ? 1 : 0;
    }
  taken.forEach((is, i) => {
    if (is && s.fate[i] !== Fate.placed) s.omit(i, Fate.issued);
  });
}

/** The holes that stand, by their ids on the board. */
export function standingIds({ input: { board } }: Settlement, { holes }: Found): Map<number, Hole> {
  const at = new Map(holes.map(({ x, y, hole }) => [`${x} ${y}`, hole]));
  return new Map(
    board.ids().flatMap((id) => {
      const hole = at.get(`${board.x[id]} ${board.y[id]}`);
      return hole ? [[id, hole] as const] : [];
    }),
  );
}

/**
 * New holes among those that stand, by tile and number. What stands keeps its ids; new ones keep theirs where none is
 * given twice so, and go on from the highest otherwise.
 */
export function amongStanding(own: Hole[], standing: readonly Hole[], { tiles }: Ceiling): Hole[] {
  if (standing.length === 0) return own;
  const place = new Map(tiles.map(({ name }, t) => [name, t]));
  const all = [...standing, ...own].sort(
    (p, q) => place.get(p.tile)! - place.get(q.tile)! || p.numberInTile - q.numberInTile,
  );
  const known = new Set(standing);
  const asTheyCome = all.every((hole, index) => !known.has(hole) || hole.id === index + 1);
  let next = standing.reduce((most, { id }) => Math.max(most, id), 0) + 1;
  return all.map((hole, index) =>
    known.has(hole) ? hole : { ...hole, id: asTheyCome ? index + 1 : next++ },
  );
}
