import { NO_GO_KINDS, type NoGoKind } from "../job/noGoKinds.ts";
import { boxOf } from "./loops.ts";
import { turnedBy } from "./gridFit.ts";
import type { Piece, Point, Role } from "./types.ts";

/** Something on the ceiling that strands keep away from, at its place on the plan in mm. */
export interface Fitting {
  kind: NoGoKind;
  /** The block or layer it came from. */
  from: string;
  circle?: { centre: Point; radius: number };
  /** Lower left corner before the turn, size, and turn clockwise about the centre. */
  rectangle?: { corner: Point; size: Point; turnDeg: number };
}

/** Nothing that hangs in a tiled ceiling is wider than this on its shorter side; a shop rule, common practice, no source. */
const LARGEST_FITTING_MM = 2500;
/** Rows and columns of a turned rectangle are told apart from straight ones from here on. */
const TURNED_DEG = 0.05;

export const isKind = (role: Role): role is NoGoKind => (NO_GO_KINDS as readonly string[]).includes(role);

/** What a piece belongs to: the outermost of its blocks that is a fitting, else its layer; null for no fitting. */
export function fittingOf(
  piece: Piece,
  roleOfLayer: (name: string) => Role,
  roleOfBlock: (name: string) => Role,
  plans: ReadonlySet<number>,
): { kind: NoGoKind; insert: number | null; from: string } | null {
  const depth = piece.blocks.findIndex((name) => isKind(roleOfBlock(name)));
  const layer = roleOfLayer(piece.layer);
  if (depth >= 0 && layer !== "ignore") {
    const name = piece.blocks[depth]!;
    return { kind: roleOfBlock(name) as NoGoKind, insert: piece.inserts[depth]!, from: name };
  }
  if (!isKind(layer)) return null;
  // a block on such a layer is one fitting, whatever its name; a whole plan brought in as a block is not
  const insert = piece.inserts.at(-1) ?? null;
  if (insert === null || plans.has(insert)) return { kind: layer, insert: null, from: piece.layer };
  return { kind: layer, insert, from: piece.blocks.at(-1)! };
}

/**
 * Inserts that bring in a whole plan, or a part of one: they hold walls or tees, fittings of two kinds, or blocks that are
 * fittings themselves. What is drawn loose in them is drawn loose.
 */
export function plansAmong(
  pieces: readonly Piece[],
  roleOfLayer: (name: string) => Role,
  roleOfBlock: (name: string) => Role,
): Set<number> {
  const plans = new Set<number>();
  const kinds = new Map<number, Role>();
  for (const { layer, blocks, inserts } of pieces) {
    const role = roleOfLayer(layer);
    const named = blocks.findIndex((name) => isKind(roleOfBlock(name)));
    const own = named >= 0 ? named : isKind(role) ? inserts.length - 1 : inserts.length;
    inserts.forEach((insert, depth) => {
      if (depth < own && (isKind(role) || named >= 0)) plans.add(insert);
      if (role === "outline" || role === "grid") plans.add(insert);
      if (depth !== own || named >= 0) return;
      if (kinds.has(insert) && kinds.get(insert) !== role) plans.add(insert);
      kinds.set(insert, role);
    });
  }
  return plans;
}

/** Fittings from pieces in mm: a block is one, what is drawn loose belongs together where it touches or overlaps. */
export function fittingsFrom(
  pieces: readonly { piece: Piece; kind: NoGoKind; insert: number | null; from: string }[],
): Fitting[] {
  const blocks = new Map<number, typeof pieces>();
  const loose = new Map<string, Piece[]>();
  for (const found of pieces)
    if (found.insert !== null) blocks.set(found.insert, [...(blocks.get(found.insert) ?? []), found]);
    else {
      const key = `${found.kind} ${found.from}`;
      loose.set(key, [...(loose.get(key) ?? []), found.piece]);
    }
  const fittings: Fitting[] = [];
  for (const of of blocks.values()) {
    const [{ kind, from }] = of as [(typeof of)[number]];
    const drawn = of.map(({ piece }) => piece);
    const { min, max } = boxOf(drawn.flatMap(({ points }) => points));
    // larger both ways than any fitting: a layer of loose ones brought in as a block
    const many = Math.min(max[0] - min[0], max[1] - min[1]) > LARGEST_FITTING_MM;
    for (const group of many ? together(drawn) : [drawn]) fittings.push(shapeOf(group, kind, from));
  }
  for (const [key, of] of loose) {
    const [kind, ...from] = key.split(" ");
    for (const group of together(of)) fittings.push(shapeOf(group, kind as NoGoKind, from.join(" ")));
  }
  return fittings;
}

/** Pieces whose ends meet, or whose boxes lie over one another, are of one thing. */
function together(pieces: Piece[]): Piece[][] {
  const boxes = pieces.map(({ points }) => boxOf(points));
  const group = pieces.map((_, i) => i);
  const rootOf = (i: number): number => {
    while (group[i] !== i) i = group[i] = group[group[i]!]!;
    return i;
  };
  const order = pieces.map((_, i) => i).sort((i, j) => boxes[i]!.min[0] - boxes[j]!.min[0]);
  order.forEach((i, n) => {
    for (const j of order.slice(n + 1)) {
      if (boxes[j]!.min[0] > boxes[i]!.max[0] + TOUCH_MM) break;
      if (belong(pieces[i]!, boxes[i]!, pieces[j]!, boxes[j]!)) group[rootOf(j)] = rootOf(i);
    }
  });
  const groups = new Map<number, Piece[]>();
  pieces.forEach((piece, i) => groups.set(rootOf(i), [...(groups.get(rootOf(i)) ?? []), piece]));
  return [...groups.values()];
}

const TOUCH_MM = 1;

function belong(p: Piece, a: ReturnType<typeof boxOf>, q: Piece, b: ReturnType<typeof boxOf>): boolean {
  const overlap = ([0, 1] as const).map((k) => Math.min(a.max[k], b.max[k]) - Math.max(a.min[k], b.min[k]));
  if (overlap.some((by) => by < -TOUCH_MM)) return false;
  if (overlap.every((by, k) => by > TOUCH_MM || isAcross(p, a, b, k) || isAcross(q, b, a, k))) return true;
  // two closed things side by side are two; open lines that meet at their ends are one
  if (p.closed || q.closed) return false;
  const ends = [q.points[0]!, q.points.at(-1)!];
  return [p.points[0]!, p.points.at(-1)!].some(([x, y]) =>
    ends.some(([u, v]) => Math.hypot(x - u, y - v) <= TOUCH_MM),
  );
}

/** Whether an open line that has no width along an axis runs through the inside of the other's box. */
const isAcross = (line: Piece, own: ReturnType<typeof boxOf>, other: ReturnType<typeof boxOf>, k: number) =>
  !line.closed &&
  own.max[k]! - own.min[k]! <= TOUCH_MM &&
  own.min[k]! > other.min[k]! + TOUCH_MM &&
  own.max[k]! < other.max[k]! - TOUCH_MM;

function shapeOf(pieces: readonly Piece[], kind: NoGoKind, from: string): Fitting {
  const points = pieces.flatMap((piece) => piece.points);
  const { min, max } = boxOf(points);
  const middle: Point = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2];
  const largest = pieces.reduce<Piece["round"]>(
    (best, { round }) => (round && round.radius > (best?.radius ?? 0) ? round : best),
    undefined,
  );
  // nothing sticks out of the largest circle by more than a hundredth, or but hairs crossed in its middle: the thing is round
  if (largest && pieces.every((piece) => isWithin(piece, largest) || isHair(piece, largest)))
    return { kind, from, circle: largest };
  const { turnDeg, size, centre } = tightest(points);
  if (size[0] === 0 && size[1] === 0) return { kind, from, circle: { centre: middle, radius: 1 } };
  return {
    kind,
    from,
    rectangle: { corner: [centre[0] - size[0] / 2, centre[1] - size[1] / 2], size, turnDeg },
  };
}

type Round = NonNullable<Piece["round"]>;
const isWithin = ({ points }: Piece, { centre, radius }: Round): boolean =>
  points.every(([x, y]) => Math.hypot(x - centre[0], y - centre[1]) <= radius * 1.01 + 0.1);

/** A line with its middle or an end in the middle of the circle: the cross of a drawing's symbol, no part of the thing. */
const isHair = ({ points: [p, q, ...more], closed }: Piece, { centre: [x, y], radius }: Round): boolean => {
  if (closed || !p || !q || more.length > 0) return false;
  const middle: Point = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
  return [p, q, middle].some(([u, v]) => Math.hypot(u - x, v - y) <= radius / 50);
};

/** The smallest rectangle round points, along one of the sides of their hull; its turn is clockwise, -45 to 45. */
function tightest(points: readonly Point[]): { turnDeg: number; size: Point; centre: Point } {
  const hull = hullOf(points);
  let best = boxed(points, 0);
  hull.forEach((p, i) => {
    const q = hull[(i + 1) % hull.length]!;
    const deg = (((((Math.atan2(q[1] - p[1], q[0] - p[0]) * 180) / Math.PI) % 90) + 135) % 90) - 45;
    if (Math.abs(deg) < TURNED_DEG) return;
    const tried = boxed(points, deg);
    if (tried.size[0] * tried.size[1] < best.size[0] * best.size[1] * (1 - 1e-6)) best = tried;
  });
  return best;
}

function boxed(points: readonly Point[], deg: number): { turnDeg: number; size: Point; centre: Point } {
  const { min, max } = boxOf(points.map((p) => turnedBy(p, -deg)));
  const centre = turnedBy([(min[0] + max[0]) / 2, (min[1] + max[1]) / 2], deg);
  return { turnDeg: deg === 0 ? 0 : -deg, size: [max[0] - min[0], max[1] - min[1]], centre };
}

/** Convex hull, counter-clockwise (Andrew's monotone chain). */
function hullOf(points: readonly Point[]): Point[] {
  const sorted = [...points].sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  const half = (list: Point[]): Point[] => {
    const chain: Point[] = [];
    for (const p of list) {
      while (chain.length > 1) {
        const [a, b] = [chain.at(-2)!, chain.at(-1)!];
        if ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0) break;
        chain.pop();
      }
      chain.push(p);
    }
    return chain.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}
