import KDBush from "kdbush";

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
    return this.within(x, y, radius)[0] ?? -1;
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
