import KDBush from "kdbush";
import { Matrix, solve } from "ml-matrix";

/** Points by index, asked for those near a place. */
export class Near {
  private readonly tree: KDBush;
  private readonly xs: ArrayLike<number>;
  private readonly ys: ArrayLike<number>;

  constructor(xs: ArrayLike<number>, ys: ArrayLike<number>) {
    this.xs = xs;
    this.ys = ys;
    this.tree = new KDBush(xs.length);
    for (let i = 0; i < xs.length; i++) this.tree.add(xs[i]!, ys[i]!);
    if (xs.length > 0) this.tree.finish();
  }

  private distance2 = (i: number, x: number, y: number): number =>
    (this.xs[i]! - x) ** 2 + (this.ys[i]! - y) ** 2;

  /** Those within a radius, nearest first. */
  within(x: number, y: number, radius: number): number[] {
    if (this.xs.length === 0) return [];
    const found = this.tree.within(x, y, radius);
    return found.sort((a, b) => this.distance2(a, x, y) - this.distance2(b, x, y) || a - b);
  }

  /** The nearest within a radius, or -1. */
  nearest(x: number, y: number, radius: number): number {
    if (this.xs.length === 0) return -1;
    let best = -1;
    for (const i of this.tree.within(x, y, radius)) {
      const closer = best < 0 ? -1 : this.distance2(i, x, y) - this.distance2(best, x, y);
      if (closer < 0 || (closer === 0 && i < best)) best = i;
    }
    return best;
  }

  distance(i: number, x: number, y: number): number {
    return Math.sqrt(this.distance2(i, x, y));
  }
}

/** The middle value; NaN of nothing. Sorts a copy. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}

/** Robust standard deviation: 1.4826 times the median distance from the middle. */
export const scatterOf = (values: readonly number[]): number => {
  const middle = median(values);
  return 1.4826 * median(values.map((v) => Math.abs(v - middle)));
};

/** What a plane through values at places (least squares) says at the origin; the middle value where there is no such plane. */
export function planeAtOrigin(
  xs: readonly number[],
  ys: readonly number[],
  values: readonly number[],
): number {
  const A = new Matrix(xs.map((x, i) => [1, x, ys[i]!]));
  const normal = A.transpose().mmul(A);
  // a thousandth of the places' own spread: a row of places has no plane
  for (const k of [1, 2]) normal.set(k, k, normal.get(k, k) * 1.001 + 1e-9);
  try {
    const plane = solve(normal, A.transpose().mmul(Matrix.columnVector([...values])));
    return plane.get(0, 0);
  } catch {
    return median(values);
  }
}
