import TinyQueue from "tinyqueue";
import { containsPoint, forEachEdge } from "../geometry/area.ts";
import type { Area, PointUm } from "../geometry/types.ts";
import type { VoidSpace } from "./voidSpace.ts";

/** A bend costs a micrometre: it only decides between ways of the same length. */
const BEND_UM = 1;

/** Right-angled ways from one engine: the shortest to a point, corners only, ends included; null where there is none. */
export type Ways = (to: PointUm) => PointUm[] | null;

/**
 * The grid of lines on which shortest right-angled ways lie: through the corners of the void, the engines
 * and the tails' entries (Hanan 1966, for obstacles with upright sides; past slanted ones a way found here
 * is clear, but may be longer than the shortest). Stretches that leave the free area are cut out.
 */
export class VoidGrid {
  private readonly xs: number[];
  private readonly ys: number[];
  /** Whether one may go from a crossing to the next one right, and up. */
  private readonly right: Uint8Array;
  private readonly up: Uint8Array;
  private readonly free: Area;

  constructor(space: VoidSpace, points: readonly PointUm[]) {
    this.free = space.free;
    this.xs = sortedUnique([...space.xs, ...points.map((p) => p.x)]);
    this.ys = sortedUnique([...space.ys, ...points.map((p) => p.y)]);
    const width = this.xs.length;
    this.right = new Uint8Array(width * this.ys.length);
    this.up = new Uint8Array(width * this.ys.length);
    this.ys.forEach((y, j) => {
      const inside = insideOf(this.free, y, false);
      for (let i = 0; i + 1 < width; i++)
        if (inside(this.xs[i]!, this.xs[i + 1]!)) this.right[j * width + i] = 1;
    });
    this.xs.forEach((x, i) => {
      const inside = insideOf(this.free, x, true);
      for (let j = 0; j + 1 < this.ys.length; j++)
        if (inside(this.ys[j]!, this.ys[j + 1]!)) this.up[j * width + i] = 1;
    });
  }

  /** Whether a point is in the free void. */
  isFree({ x, y }: PointUm): boolean {
    return containsPoint(this.free, x, y);
  }

  /** Shortest ways from a point of the grid (Dijkstra 1959); fewest bends among equals. */
  from(start: PointUm): Ways {
    const { xs, ys } = this;
    const width = xs.length;
    const nodes = width * ys.length;
    const nodeAt = (p: PointUm) => {
      const [i, j] = [indexOf(xs, p.x), indexOf(ys, p.y)];
      return i < 0 || j < 0 ? -1 : j * width + i;
    };
    // A state is a crossing and how it was reached: 0 level, 1 upright.
    const cost = new Float64Array(nodes * 2).fill(Infinity);
    const before = new Int32Array(nodes * 2).fill(-1);
    const queue = new TinyQueue<Waiting>([], inTurn);
    const first = nodeAt(start);
    if (first >= 0)
      for (const state of [first * 2, first * 2 + 1]) {
        cost[state] = 0;
        queue.push({ state, cost: cost[state]! });
      }
    for (let state = queue.pop()?.state; state !== undefined; state = queue.pop()?.state) {
      const node = state >> 1;
      const [i, j] = [node % width, Math.floor(node / width)];
      const step = (to: number, lengthUm: number, upright: 0 | 1) => {
        const next = to * 2 + upright;
        const total = cost[state]! + lengthUm + ((state & 1) === upright ? 0 : BEND_UM);
        if (total >= cost[next]!) return;
        cost[next] = total;
        before[next] = state;
        queue.push({ state: next, cost: cost[next]! });
      };
      if (i + 1 < width && this.right[node]) step(node + 1, xs[i + 1]! - xs[i]!, 0);
      if (i > 0 && this.right[node - 1]) step(node - 1, xs[i]! - xs[i - 1]!, 0);
      if (j + 1 < ys.length && this.up[node]) step(node + width, ys[j + 1]! - ys[j]!, 1);
      if (j > 0 && this.up[node - width]) step(node - width, ys[j]! - ys[j - 1]!, 1);
    }
    const pathTo = (point: PointUm): number[] | null => {
      const node = nodeAt(point);
      if (node < 0) return null;
      let state = cost[node * 2]! <= cost[node * 2 + 1]! ? node * 2 : node * 2 + 1;
      if (cost[state] === Infinity) return null;
      const path: number[] = [];
      for (; state >= 0; state = before[state]!) if (path.at(-1) !== state >> 1) path.push(state >> 1);
      return path.reverse();
    };
    const pointAt = (node: number): PointUm => ({ x: xs[node % width]!, y: ys[Math.floor(node / width)]! });
    return (point) => {
      const path = pathTo(point);
      return path && withoutStraights(path.map(pointAt));
    };
  }
}

/** Length of right-angled lines together, shared stretches once, in micrometres. */
export function sharedUm(lines: readonly (readonly PointUm[])[]): number {
  const stretches = new Map<string, [from: number, to: number][]>();
  for (const line of lines)
    for (let k = 1; k < line.length; k++) {
      const [a, b] = [line[k - 1]!, line[k]!];
      const [key, from, to] = a.y === b.y ? [`y${a.y}`, a.x, b.x] : [`x${a.x}`, a.y, b.y];
      stretches.set(key, [...(stretches.get(key) ?? []), [Math.min(from, to), Math.max(from, to)]]);
    }
  let sum = 0;
  for (const own of stretches.values()) {
    let reached = -Infinity;
    for (const [from, to] of own.sort((p, q) => p[0] - q[0])) {
      sum += Math.max(0, to - Math.max(from, reached));
      reached = Math.max(reached, to);
    }
  }
  return sum;
}

/** Length of a right-angled line. */
export function lengthUm(line: readonly PointUm[]): number {
  let sum = 0;
  for (let k = 1; k < line.length; k++)
    sum += Math.abs(line[k]!.x - line[k - 1]!.x) + Math.abs(line[k]!.y - line[k - 1]!.y);
  return sum;
}

function withoutStraights(line: PointUm[]): PointUm[] {
  return line.filter((p, k) => {
    const [a, b] = [line[k - 1], line[k + 1]];
    return !a || !b || !((a.x === p.x && p.x === b.x) || (a.y === p.y && p.y === b.y));
  });
}

/** Tells of stretches of one level (or upright) line whether they lie in an area, its boundary included. */
function insideOf(area: Area, at: number, upright: boolean): (from: number, to: number) => boolean {
  const cuts: number[] = [];
  forEachEdge(area, (a, b) => {
    const [a0, a1, b0, b1] = upright ? [a.x, a.y, b.x, b.y] : [a.y, a.x, b.y, b.x];
    if (a0 === b0) {
      if (a0 === at) cuts.push(a1, b1);
    } else if (Math.min(a0, b0) <= at && at <= Math.max(a0, b0))
      cuts.push(a1 + ((at - a0) / (b0 - a0)) * (b1 - a1));
  });
  cuts.sort((p, q) => p - q);
  return (from, to) => {
    const stops = [from, ...cuts.filter((cut) => cut > from && cut < to), to];
    for (let k = 1; k < stops.length; k++) {
      const middle = (stops[k - 1]! + stops[k]!) / 2;
      if (!(upright ? containsPoint(area, at, middle) : containsPoint(area, middle, at))) return false;
    }
    return true;
  };
}

const sortedUnique = (values: number[]): number[] => [...new Set(values)].sort((p, q) => p - q);

function indexOf(sorted: readonly number[], value: number): number {
  let [low, high] = [0, sorted.length - 1];
  while (low <= high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] === value) return middle;
    if (sorted[middle]! < value) low = middle + 1;
    else high = middle - 1;
  }
  return -1;
}

/** A state may wait more than once; the later ones change nothing. */
interface Waiting {
  state: number;
  cost: number;
}

/** Smallest cost first, then smallest number. */
const inTurn = (a: Waiting, b: Waiting): number => a.cost - b.cost || a.state - b.state;
