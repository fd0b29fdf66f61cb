import KDBush from "kdbush";
import { Near } from "./near.ts";

/** Points in a plane, as two columns. */
export interface Points {
  x: Float64Array;
  y: Float64Array;
}

/**
 * Five points make a code that no affine map changes, mirrors excepted: they are moved, stretched and slanted until
 * their scatter is that of a round cloud, turned until the outermost lies to the right, and read round from there.
 * A small part of a ceiling, seen at any slant, is an affine picture of the plan, so groups of five neighbours keep
 * their code; a mirrored group has another.
 */
const CODE_LENGTH = 10;
/** Groups are looked up by the place of the point after the outermost; a part of the tolerance holds nearly all of it. */
const KEY_X = 2;
const KEY_Y = 3;
const KEY_REACH = 0.6;

/** Groups flatter than this (shortest over longest extent) have codes that noise decides. */
const FLATTEST = 0.22;
/** A point nearly as far out as the outermost may be it in the other picture. */
const RIVAL = 0.93;

/** Writes the code of five points that starts at one of them; false where they are too flat. */
function whiten(points: Points, five: readonly number[], out: Float64Array): boolean {
  let [mx, my] = [0, 0];
  for (const i of five) {
    mx += points.x[i]! / 5;
    my += points.y[i]! / 5;
  }
  let [a, b, c] = [0, 0, 0];
  for (const i of five) {
    const [dx, dy] = [points.x[i]! - mx, points.y[i]! - my];
    a += (dx * dx) / 5;
    b += (dx * dy) / 5;
    c += (dy * dy) / 5;
  }
  const det = a * c - b * b;
  const s = Math.sqrt(Math.max(0, det));
  const t = Math.sqrt(a + c + 2 * s);
  // eigenvalues of the scatter are the squared extents: their ratio from trace and determinant
  const spread = Math.sqrt(Math.max(0, (a - c) ** 2 / 4 + b * b));
  const mean = (a + c) / 2;
  if (mean <= 0 || mean - spread < FLATTEST ** 2 * (mean + spread)) return false;
  // inverse square root of the scatter, after Cayley and Hamilton: sqrt(M) = (M + s I) / t
  const k = 1 / (s * t);
  const [p, q, r] = [(c + s) * k, -b * k, (a + s) * k];
  five.forEach((i, j) => {
    const [dx, dy] = [points.x[i]! - mx, points.y[i]! - my];
    out[2 * j] = p * dx + q * dy;
    out[2 * j + 1] = q * dx + r * dy;
  });
  return true;
}

/** A code, and the points it was read from in its order. Both are used again for the next. */
type Use = (code: Float64Array, order: Int32Array) => void;

const white = new Float64Array(CODE_LENGTH);
const code = new Float64Array(CODE_LENGTH);
const order = new Int32Array(5);
const turns = new Float64Array(5);
const radius2 = new Float64Array(5);

/** Calls `use` with the code of five points; with `rivals`, also with those that start at a point nearly as far out. */
export function codesOf(points: Points, five: readonly number[], rivals: boolean, use: Use): void {
  if (!whiten(points, five, white)) return;
  let most = 0;
  for (let j = 0; j < 5; j++) {
    radius2[j] = white[2 * j]! ** 2 + white[2 * j + 1]! ** 2;
    most = Math.max(most, radius2[j]!);
  }
  const rival = most * RIVAL ** 2;
  for (let start = 0; start < 5; start++) {
    const r2 = radius2[start]!;
    if (rivals ? r2 < rival : r2 !== most) continue;
    const r = Math.sqrt(r2);
    const cos = white[2 * start]! / r;
    const sin = white[2 * start + 1]! / r;
    for (let j = 0; j < 5; j++) {
      const x = white[2 * j]! * cos + white[2 * j + 1]! * sin;
      const y = white[2 * j + 1]! * cos - white[2 * j]! * sin;
      const turn = j === start ? -1 : turnOf(x, y);
      let at = j;
      for (; at > 0 && turns[at - 1]! > turn; at--) {
        turns[at] = turns[at - 1]!;
        order[at] = order[at - 1]!;
        code[2 * at] = code[2 * at - 2]!;
        code[2 * at + 1] = code[2 * at - 1]!;
      }
      turns[at] = turn;
      order[at] = five[j]!;
      code[2 * at] = x;
      code[2 * at + 1] = y;
    }
    use(code, order);
  }
}

/** Grows with the angle from 0 round to 4, without arctangent. */
function turnOf(x: number, y: number): number {
  const share = y / (Math.abs(x) + Math.abs(y) || 1);
  return x >= 0 ? (y >= 0 ? share : 4 + share) : 2 - share;
}

/** The nearest neighbours of each point, nearest first. */
export function neighboursOf(points: Points, count: number): Int32Array[] {
  const n = points.x.length;
  const tree = new Near(points.x, points.y);
  const area = n === 0 ? 1 : spanOf(points.x) * spanOf(points.y);
  const first = Math.sqrt((area * (count + 1)) / Math.max(1, n) / 2) || 1;
  const round = (x: number, y: number, radius: number): number[] => {
    const near = tree.within(x, y, radius);
    return near.length > count || near.length >= n ? near : round(x, y, radius * 1.6);
  };
  return Array.from({ length: n }, (_, i) => {
    const near = round(points.x[i]!, points.y[i]!, first).filter((j) => j !== i);
    return Int32Array.from(near.slice(0, count));
  });
}

const spanOf = (values: Float64Array): number => {
  let [least, most] = [Infinity, -Infinity];
  for (const v of values) {
    if (v < least) least = v;
    if (v > most) most = v;
  }
  return Math.max(1e-6, most - least);
};

/** Every point with every four of its neighbours. */
export function* fivesAround(point: number, near: ArrayLike<number>): Generator<number[]> {
  for (let a = 0; a < near.length - 3; a++)
    for (let b = a + 1; b < near.length - 2; b++)
      for (let c = b + 1; c < near.length - 1; c++)
        for (let d = c + 1; d < near.length; d++) yield [point, near[a]!, near[b]!, near[c]!, near[d]!];
}

/** All codes of a plan, to be asked for those near another. */
export class CodeBook {
  private readonly codes: Float32Array;
  private readonly orders: Int32Array;
  private readonly tree: KDBush;
  readonly size: number;

  constructor(points: Points, neighbours: readonly Int32Array[]) {
    const most = neighbours.reduce((sum, { length: n }) => sum + (n * (n - 1) * (n - 2) * (n - 3)) / 24, 0);
    this.codes = new Float32Array(most * CODE_LENGTH);
    this.orders = new Int32Array(most * 5);
    let size = 0;
    neighbours.forEach((near, i) => {
      for (const five of fivesAround(i, near))
        codesOf(points, five, false, (own, group) => {
          this.codes.set(own, CODE_LENGTH * size);
          this.orders.set(group, 5 * size);
          size++;
        });
    });
    this.size = size;
    this.tree = new KDBush(size, 64, Float32Array);
    const { codes } = this;
    for (let i = 0; i < CODE_LENGTH * size; i += CODE_LENGTH)
      this.tree.add(codes[i + KEY_X]!, codes[i + KEY_Y]!);
    if (size > 0) this.tree.finish();
  }

  /** Groups whose code differs by less than `tolerance` in all (root of the summed squares). */
  near(sought: Float64Array, tolerance: number, use: (group: Int32Array) => void): void {
    if (this.size === 0) return;
    const most = tolerance * tolerance;
    for (const i of this.tree.within(sought[KEY_X]!, sought[KEY_Y]!, tolerance * KEY_REACH)) {
      let sum = 0;
      for (let j = 0; j < CODE_LENGTH && sum < most; j++) {
        const d = sought[j]! - this.codes[CODE_LENGTH * i + j]!;
        sum += d * d;
      }
      if (sum < most) use(this.orders.subarray(5 * i, 5 * i + 5));
    }
  }
}
