import { areaOf, boxOf, contains, isOnEdge, loopsOf, openingsOf, type Loop } from "./loops.ts";
import { turnedBy, turnOf } from "./gridFit.ts";
import type { Drawing, Piece, Point } from "./types.ts";

/** A room of the drawing, in the drawing's units. */
export interface DrawnRoom {
  /** From 1, the largest first: how it is asked for. */
  number: number;
  /** The text that stands nearest to its middle, a word rather than a number, or "". */
  name: string;
  outline: Point[];
  /** How far its walls are turned counter-clockwise in the drawing, from -45 to 45. */
  turnDeg: number;
  /** Width and depth along its walls. */
  size: Point;
  /** Closed lines inside it: columns, openings. */
  inside: Loop[];
}

/** A room's name, and its number on a plan: 101, 2.14, B-07. */
const WORD = /\p{L}{3}/u;
const NUMBER = /^\p{L}{0,2}[-. ]?\d{1,2}[-.]?\d{1,3}\p{L}?$/u;

/** Ends of wall lines this share of the drawing apart are one corner: 5 mm of a plan 10 m wide. */
const JOIN_SHARE = 1 / 2000;
/** Faces smaller than this share of the largest room are wall thicknesses and shafts, unless tees lie in them. */
const SMALLEST_SHARE = 1 / 50;
/** With fewer of the tees in rooms than this, walls are taken to be open somewhere. */
const MOST_TEES = 0.9;
/** Sides of a room shorter than this share of its longest are pieces of curves and tell no direction. */
const STRAIGHT_SHARE = 1 / 10;
/** A second line round the same room has at least this share of its area. */
const SAME_ROOM_SHARE = 0.9;

/** The rooms of a drawing, and over how many openings in its walls a line had to be drawn to close them. */
export interface DrawnRooms {
  rooms: DrawnRoom[];
  closed: number;
  /** How many of the tees lie in rooms. */
  tees: number;
}

/** The rooms that outlines form: where tees are drawn, the innermost closed lines round them; else the outermost ones. */
export function roomsOf(
  outlines: readonly Piece[],
  tees: readonly [Point, Point][],
  texts: Drawing["texts"],
): DrawnRooms {
  if (outlines.length === 0) return { rooms: [], closed: 0, tees: 0 };
  const { min, max } = boxOf(outlines.flatMap(({ points }) => points));
  const tolerance = Math.max(max[0] - min[0], max[1] - min[1]) * JOIN_SHARE || 1;
  const plain = roomsAmong(loopsOf(outlines, tolerance), tees, texts);
  if (plain.tees >= tees.length * MOST_TEES) return { ...plain, closed: 0 };
  // doors and other openings leave the walls open
  const openings = openingsOf(
    outlines.filter(({ closed }) => !closed),
    tolerance,
  );
  const closed = roomsAmong(loopsOf([...outlines, ...openings], tolerance), tees, texts);
  if (closed.tees <= plain.tees) return { ...plain, closed: 0 };
  const used = openings.filter(({ points: [p, q] }) => {
    const middle: Point = [(p![0] + q![0]) / 2, (p![1] + q![1]) / 2];
    return closed.rooms.some(({ outline }) => isOnEdge(outline, middle, tolerance));
  });
  return { ...closed, closed: used.length };
}

function roomsAmong(
  found: readonly Loop[],
  tees: readonly [Point, Point][],
  texts: Drawing["texts"],
): Pick<DrawnRooms, "rooms" | "tees"> {
  const loops = [...found].sort((a, b) => a.area - b.area);
  const crossed = new Map<Loop, number>();
  const held = new Set<Loop>();
  for (const tee of tees) {
    const loop = loops.find(({ points }) => contains(points, along(tee, 1 / 2)));
    if (!loop) continue;
    crossed.set(loop, (crossed.get(loop) ?? 0) + 1);
    if ([1 / 4, 3 / 4].every((share) => contains(loop.points, along(tee, share)))) held.add(loop);
  }
  const largest = loops.at(-1)?.area ?? 0;
  const among = loops.filter((loop) => (crossed.get(loop) ?? 0) > 1);
  // a column in the middle of a room has middles of tees in it, and none of the tees
  const withTees = among.filter((loop) => held.has(loop) || !among.some((other) => isIn(loop, other)));
  const outermost = loops.filter(
    (loop) =>
      loop.area >= largest * SMALLEST_SHARE &&
      !loops.some((other) => other.area > loop.area && isIn(loop, other)),
  );
  const rooms = withTees.length > 0 ? withTees : outermost;
  const inside = withTees.reduce((sum, loop) => sum + (crossed.get(loop) ?? 0), 0);
  return { rooms: drawnRooms(rooms, loops, texts), tees: inside };
}

function drawnRooms(rooms: readonly Loop[], loops: readonly Loop[], texts: Drawing["texts"]): DrawnRoom[] {
  return [...rooms]
    .sort((a, b) => b.area - a.area)
    .map((loop, i) => {
      const sides = loop.points.map((p, k): [Point, Point] => [
        p,
        loop.points[(k + 1) % loop.points.length]!,
      ]);
      const lengths = sides.map(([p, q]) => Math.hypot(q[0] - p[0], q[1] - p[1]));
      const straight = Math.max(...lengths) * STRAIGHT_SHARE;
      const turnDeg = turnOf(sides.filter((_, k) => lengths[k]! > straight)) ?? 0;
      const box = boxOf(loop.points.map((p) => turnedBy(p, -turnDeg)));
      return {
        number: i + 1,
        name: nameAt(loop, texts),
        outline: loop.points,
        turnDeg,
        size: [box.max[0] - box.min[0], box.max[1] - box.min[1]],
        inside: loops.filter(
          (other) => !rooms.includes(other) && other.area < loop.area * SAME_ROOM_SHARE && isIn(other, loop),
        ),
      };
    });
}

/** The point a share of the way along a line. */
const along = ([p, q]: [Point, Point], share: number): Point => [
  p[0] + (q[0] - p[0]) * share,
  p[1] + (q[1] - p[1]) * share,
];

/** Whether a loop lies in another, told by the middles of its sides: corners may lie on the other's line. */
function isIn({ points }: Loop, other: Loop): boolean {
  if (areaOf(points) >= other.area) return false;
  return points.every((p, i) => {
    const q = points[(i + 1) % points.length]!;
    return contains(other.points, [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2]);
  });
}

function nameAt({ points }: Loop, texts: Drawing["texts"]): string {
  const { min, max } = boxOf(points);
  const from = ({ at }: Drawing["texts"][number]): number =>
    Math.hypot(at[0] - (min[0] + max[0]) / 2, at[1] - (min[1] + max[1]) / 2);
  const inside = texts.filter(({ at }) => contains(points, at)).sort((a, b) => from(a) - from(b));
  const [word, number] = [WORD, NUMBER].map((told) => inside.find(({ text }) => told.test(text))?.text);
  return word?.slice(0, 60) ?? (number ? `Room ${number}` : "");
}
