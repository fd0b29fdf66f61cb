import type { Piece, Point } from "./types.ts";

/** A closed line with its enclosed area, counter-clockwise. */
export interface Loop {
  points: Point[];
  area: number;
}

/** Signed area of a polygon, positive counter-clockwise. */
export function areaOf(points: readonly Point[]): number {
  let twice = 0;
  points.forEach(([x, y], i) => {
    const [u, v] = points[(i + 1) % points.length]!;
    twice += x * v - u * y;
  });
  return twice / 2;
}

export function contains(points: readonly Point[], [x, y]: Point): boolean {
  let inside = false;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const [ax, ay] = points[i]!;
    const [bx, by] = points[j]!;
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
  }
  return inside;
}

export function boxOf(points: readonly Point[]): { min: Point; max: Point } {
  const [min, max]: [Point, Point] = [
    [Infinity, Infinity],
    [-Infinity, -Infinity],
  ];
  for (const [x, y] of points) {
    min[0] = Math.min(min[0], x);
    min[1] = Math.min(min[1], y);
    max[0] = Math.max(max[0], x);
    max[1] = Math.max(max[1], y);
  }
  return { min, max };
}

/** Consecutive points of a piece, the closing side included. */
export function sidesOf({ points, closed }: Pick<Piece, "points" | "closed">): [Point, Point][] {
  const sides = points.slice(1).map((p, i): [Point, Point] => [points[i]!, p]);
  if (closed && points.length > 2) sides.push([points.at(-1)!, points[0]!]);
  return sides;
}

/**
 * The closed lines that pieces form: those drawn closed, and the innermost faces that open lines enclose where their ends meet
 * within `tolerance`. Ends that lead nowhere are cut off.
 */
export function loopsOf(pieces: readonly Piece[], tolerance: number): Loop[] {
  const drawn = pieces.filter(({ closed, points }) => closed && points.length > 2);
  const open = pieces.filter(({ closed, points }) => !closed && points.length > 1);
  return [...drawn.map(({ points }) => points), ...faces(cut(open.flatMap(sidesOf), tolerance), tolerance)]
    .map((points) => tidied(points, tolerance))
    .map((points) => ({ points, area: areaOf(points) }))
    .map(({ points, area }) => (area < 0 ? { points: points.reverse(), area: -area } : { points, area }))
    .filter(({ points, area }) => points.length > 2 && area > tolerance * tolerance);
}

/** More lines than this are no walls of a plan, and looking for their openings would take long. */
const MOST_WALLS = 4000;

/**
 * Straight lines across openings: from the end of a line to the nearest end of another one that goes on in the same line and
 * faces it, where the opening is no wider than the longer of the two.
 */
export function openingsOf(pieces: readonly Piece[], tolerance: number): Piece[] {
  const sides = pieces.flatMap(sidesOf);
  if (sides.length > MOST_WALLS) return [];
  const lengthOf = ([p, q]: [Point, Point]): number => Math.hypot(q[0] - p[0], q[1] - p[1]);
  const openings = new Map<string, Piece>();
  for (const side of [...sides, ...sides.map(([p, q]): [Point, Point] => [q, p])]) {
    const [p, q] = side;
    const length = lengthOf(side);
    if (length <= tolerance) continue;
    const ahead = ([x, y]: Point): number =>
      ((x - q[0]) * (q[0] - p[0]) + (y - q[1]) * (q[1] - p[1])) / length;
    let nearest: { to: Point; gap: number; most: number } | null = null;
    for (const [a, b] of sides) {
      if (offLine(a, p, q) > tolerance || offLine(b, p, q) > tolerance) continue;
      const [near, far] = ahead(a) < ahead(b) ? [a, b] : [b, a];
      const gap = ahead(near);
      if (gap < -tolerance || ahead(far) - gap <= tolerance || gap >= (nearest?.gap ?? Infinity)) continue;
      nearest = { to: near, gap, most: Math.max(length, lengthOf([a, b])) };
    }
    if (!nearest || nearest.gap <= tolerance || nearest.gap > nearest.most) continue;
    const points = [q, nearest.to].sort((u, v) => u[0] - v[0] || u[1] - v[1]);
    openings.set(points.join(" "), { layer: "", blocks: [], inserts: [], points, closed: false });
  }
  return [...openings.values()];
}

/** Sides cut where another ends on them or crosses them. */
function cut(sides: readonly [Point, Point][], tolerance: number): [Point, Point][] {
  const boxes = sides.map((side) => boxOf(side));
  const cuts = sides.map((): number[] => [0, 1]);
  const order = sides.map((_, i) => i).sort((i, j) => boxes[i]!.min[0] - boxes[j]!.min[0]);
  order.forEach((i, n) => {
    for (let m = n + 1; m < order.length && boxes[order[m]!]!.min[0] <= boxes[i]!.max[0] + tolerance; m++) {
      const j = order[m]!;
      if (boxes[j]!.min[1] > boxes[i]!.max[1] + tolerance || boxes[j]!.max[1] < boxes[i]!.min[1] - tolerance)
        continue;
      const [a, b] = [sides[i]!, sides[j]!];
      for (const end of b) cuts[i]!.push(...touching(a, end, tolerance));
      for (const end of a) cuts[j]!.push(...touching(b, end, tolerance));
      const crossing = crossingOf(a, b);
      if (crossing) {
        cuts[i]!.push(crossing[0]);
        cuts[j]!.push(crossing[1]);
      }
    }
  });
  return sides.flatMap(([p, q], i) => {
    const at = (t: number): Point => [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])];
    const stops = [...new Set(cuts[i])].sort((s, t) => s - t);
    return stops.slice(1).map((t, k): [Point, Point] => [at(stops[k]!), at(t)]);
  });
}

/** Whether a point lies on the edge of a closed line. */
export const isOnEdge = (points: readonly Point[], point: Point, tolerance: number): boolean =>
  sidesOf({ points: [...points], closed: true }).some((side) => touching(side, point, tolerance).length > 0);

/** How far along a side a point lies that is within the tolerance of it, if it does. */
function touching([p, q]: [Point, Point], end: Point, tolerance: number): number[] {
  const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
  const t = ((end[0] - p[0]) * dx + (end[1] - p[1]) * dy) / (dx * dx + dy * dy);
  return t > 0 && t < 1 && offLine(end, p, q) <= tolerance ? [t] : [];
}

function crossingOf([p, q]: [Point, Point], [u, v]: [Point, Point]): [number, number] | null {
  const [ax, ay, bx, by] = [q[0] - p[0], q[1] - p[1], v[0] - u[0], v[1] - u[1]];
  const cross = ax * by - ay * bx;
  if (cross === 0) return null;
  const s = ((u[0] - p[0]) * by - (u[1] - p[1]) * bx) / cross;
  const t = ((u[0] - p[0]) * ay - (u[1] - p[1]) * ax) / cross;
  return s > 0 && s < 1 && t > 0 && t < 1 ? [s, t] : null;
}

/** Innermost faces of the net that sides form. */
function faces(sides: readonly [Point, Point][], tolerance: number): Point[][] {
  const nodes: Point[] = [];
  const cells = new Map<string, number[]>();
  const nodeOf = ([x, y]: Point): number => {
    const [cx, cy] = [Math.floor(x / tolerance), Math.floor(y / tolerance)];
    for (let i = cx - 1; i <= cx + 1; i++)
      for (let j = cy - 1; j <= cy + 1; j++)
        for (const k of cells.get(`${i},${j}`) ?? [])
          if (Math.hypot(nodes[k]![0] - x, nodes[k]![1] - y) <= tolerance) return k;
    nodes.push([x, y]);
    const key = `${cx},${cy}`;
    cells.set(key, [...(cells.get(key) ?? []), nodes.length - 1]);
    return nodes.length - 1;
  };
  const beside = new Map<number, Set<number>>();
  for (const [p, q] of sides) {
    const [a, b] = [nodeOf(p), nodeOf(q)];
    if (a === b) continue;
    for (const [from, to] of [
      [a, b],
      [b, a],
    ] as const)
      beside.set(from, (beside.get(from) ?? new Set()).add(to));
  }
  const ends = [...beside].filter(([, to]) => to.size === 1).map(([node]) => node);
  for (let node = ends.pop(); node !== undefined; node = ends.pop())
    for (const other of beside.get(node) ?? []) {
      beside.delete(node);
      beside.get(other)!.delete(node);
      if (beside.get(other)!.size === 1) ends.push(other);
    }
  // round each face by always taking the next side clockwise from the one that was come along
  const angle = (a: number, b: number): number =>
    Math.atan2(nodes[b]![1] - nodes[a]![1], nodes[b]![0] - nodes[a]![0]);
  const around = new Map(
    [...beside].map(([a, to]) => [a, [...to].sort((p, q) => angle(a, p) - angle(a, q))]),
  );
  const walked = new Set<string>();
  const found: Point[][] = [];
  for (const [a, to] of around)
    for (const b of to) {
      const face: number[] = [];
      let [from, at] = [a, b];
      while (!walked.has(`${from},${at}`)) {
        walked.add(`${from},${at}`);
        face.push(from);
        const turns = around.get(at)!;
        const on = turns[(turns.indexOf(from) - 1 + turns.length) % turns.length]!;
        [from, at] = [at, on];
      }
      const points = face.map((k) => nodes[k]!);
      if (areaOf(points) > 0) found.push(points);
    }
  return found;
}

/** Without corners on a straight line and sides shorter than the tolerance. */
function tidied(points: readonly Point[], tolerance: number): Point[] {
  let kept = points.filter(
    (p, i) => i === 0 || Math.hypot(p[0] - points[i - 1]![0], p[1] - points[i - 1]![1]) > tolerance / 10,
  );
  for (let still = 0; still < 2 && kept.length > 3;) {
    const before = kept.length;
    kept = kept.filter((p, i) => {
      const a = kept[(i - 1 + before) % before]!;
      const b = kept[(i + 1) % before]!;
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      // every other corner at a time, so that a curve is not straightened as a whole
      return i % 2 === 1 || offLine(p, a, b) > Math.max(1e-9 * length, tolerance / 100);
    });
    still = kept.length < before ? 0 : still + 1;
    kept = [...kept.slice(1), kept[0]!];
  }
  return kept;
}

/** Distance of a point from the line through two others. */
export function offLine(p: Point, a: Point, b: Point): number {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  if (length === 0) return Math.hypot(p[0] - a[0], p[1] - a[1]);
  return Math.abs((b[0] - a[0]) * (a[1] - p[1]) - (a[0] - p[0]) * (b[1] - a[1])) / length;
}

/** At most so many corners: those that matter least go first. */
export function withCornersAtMost(points: readonly Point[], most: number): Point[] {
  const kept = [...points];
  while (kept.length > most) {
    let [least, at] = [Infinity, 0];
    kept.forEach((p, i) => {
      const off = offLine(p, kept[(i - 1 + kept.length) % kept.length]!, kept[(i + 1) % kept.length]!);
      if (off < least) [least, at] = [off, i];
    });
    kept.splice(at, 1);
  }
  return kept;
}
