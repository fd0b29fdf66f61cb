import { Matrix, inverse } from "ml-matrix";
import { isClipped, lightAt, type Light } from "./picture.ts";

export interface Centre {
  xPx: number;
  yPx: number;
}

/** Light measured at a place, with what stands beside it taken apart. */
export interface Measured {
  flux: number;
  /** Standard error of the flux. */
  error: number;
  /** Some pixel of it is clipped: the flux is at least so much. */
  clipped: boolean;
}

/** Pixels of a spot that are looked at, in its widths; more where what is behind it has to be told as well. */
const REACH_WIDTHS = { level: 2.5, sloping: 4 };

/**
 * Light at the first of several centres, all spots of one known width on a known level: their heights by least
 * squares (crowded-field photometry with a fixed profile, after Stetson 1987). Clipped pixels are left out of it.
 * `sloping`: on the foot of a broad light, so the level and its slope are told by the same pixels.
 */
// eslint-disable-next-line max-params -- called in the inner loop
export function measureAt(
  { widthPx, heightPx, light }: Light,
  centres: readonly Centre[],
  sigmaPx: number,
  level: number,
  pixelNoise: number,
  sloping = false,
): Measured {
  const own = centres[0]!;
  const lights = centres.length;
  const n = lights + (sloping ? 3 : 0);
  const reach = REACH_WIDTHS[sloping ? "sloping" : "level"] * sigmaPx;
  const normal = Matrix.zeros(n, n);
  const right = Matrix.zeros(n, 1);
  let clipped = false;
  let left = 0;
  const shape = new Float64Array(n);
  for (let j = Math.max(0, Math.floor(own.yPx - reach)); j <= Math.min(heightPx - 1, own.yPx + reach); j++)
    for (let i = Math.max(0, Math.floor(own.xPx - reach)); i <= Math.min(widthPx - 1, own.xPx + reach); i++) {
      if ((i + 0.5 - own.xPx) ** 2 + (j + 0.5 - own.yPx) ** 2 > reach * reach) continue;
      const marked = light[j * widthPx + i]!;
      if (isClipped(marked)) {
        clipped = true;
        continue;
      }
      left++;
      const value = lightAt(marked) - level;
      centres.forEach((c, k) => {
        shape[k] = Math.exp(-((i + 0.5 - c.xPx) ** 2 + (j + 0.5 - c.yPx) ** 2) / (2 * sigmaPx * sigmaPx));
      });
      if (sloping) shape.set([1, (i + 0.5 - own.xPx) / reach, (j + 0.5 - own.yPx) / reach], lights);
      for (let a = 0; a < n; a++) {
        right.set(a, 0, right.get(a, 0) + shape[a]! * value);
        for (let b = 0; b < n; b++) normal.set(a, b, normal.get(a, b) + shape[a]! * shape[b]!);
      }
    }
  const whole = 2 * Math.PI * sigmaPx * sigmaPx;
  if (left < 4 + n - lights) return { flux: whole * Math.max(0, 1 - level), error: Infinity, clipped };
  // so little of a centre may be in sight that only this keeps it from running away
  for (let a = 1; a < lights; a++) normal.set(a, a, normal.get(a, a) + 1e-3);
  normal.set(0, 0, normal.get(0, 0) + 1e-9);
  const undone = inverse(normal, true);
  const heights = undone.mmul(right);
  return {
    flux: whole * heights.get(0, 0),
    error: whole * pixelNoise * Math.sqrt(Math.max(0, undone.get(0, 0))),
    clipped,
  };
}
