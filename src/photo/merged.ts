import { Matrix, solve } from "ml-matrix";
import type { Centre } from "./measure.ts";
import { isClipped, lightAt, type Light } from "./picture.ts";

/** A light of a blend: where it should be and how bright, and how sure either is. */
export interface Guess extends Centre {
  flux: number;
  /** Spread of the place along one axis; Infinity where it may be anywhere. */
  spreadPx: number;
  /** Spread of the light, as a part of it. */
  scatter: number;
}

export interface Parted {
  lights: (Centre & { flux: number })[];
  /** Squared misfit of pixels and guesses, in squared pixel noise. */
  misfit: number;
  pixels: number;
}

/** Pixels of a blend that are looked at: so many widths round its lights. */
const REACH_WIDTHS = 3;
const STEPS = 20;

/**
 * Places and light of several lights of one known width that run together, by least squares over their pixels and what
 * is known of each beforehand (profile fits of a blend, after Stetson 1987). `round`: lights beside it, at fixed places.
 * Null where too few pixels tell.
 */
export function part(
  { widthPx, heightPx, light }: Light,
  guesses: readonly Guess[],
  round: readonly Centre[],
  { sigmaPx, level, pixelNoise, about }: { sigmaPx: number; level: number; pixelNoise: number; about: readonly Centre[] }, // prettier-ignore
): Parted | null {
  const reach = REACH_WIDTHS * sigmaPx;
  const pixels: { x: number; y: number; value: number }[] = [];
  const edge = (key: "xPx" | "yPx", far: typeof Math.min, by: number) => Math.floor(far(...about.map((a) => a[key])) + by); // prettier-ignore
  const [left, right] = [Math.max(0, edge("xPx", Math.min, -reach)), Math.min(widthPx - 1, edge("xPx", Math.max, reach))]; // prettier-ignore
  const [top, foot] = [Math.max(0, edge("yPx", Math.min, -reach)), Math.min(heightPx - 1, edge("yPx", Math.max, reach))]; // prettier-ignore
  for (let j = top; j <= foot; j++)
    for (let i = left; i <= right; i++) {
      const [x, y] = [i + 0.5, j + 0.5];
      const marked = light[j * widthPx + i]!;
      if (isClipped(marked) || !about.some((a) => (a.xPx - x) ** 2 + (a.yPx - y) ** 2 < reach * reach))
        continue;
      pixels.push({ x, y, value: lightAt(marked) - level });
    }
  const moving = guesses.length;
  const n = 3 * moving + round.length;
  if (pixels.length < n + 4) return null;
  const whole = 2 * Math.PI * sigmaPx * sigmaPx;
  // heights in what the guesses lead to expect, places in widths: all near 1
  const unit = Math.max(...guesses.map((g) => g.flux)) / whole;
  let at = [...guesses.flatMap((g) => [g.flux / whole / unit, g.xPx / sigmaPx, g.yPx / sigmaPx]), ...round.map(() => 0)]; // prettier-ignore
  const known = guesses.flatMap((g, k) => [
    { index: 3 * k, value: g.flux / whole / unit, spread: (g.scatter * g.flux) / whole / unit },
    { index: 3 * k + 1, value: g.xPx / sigmaPx, spread: g.spreadPx / sigmaPx },
    { index: 3 * k + 2, value: g.yPx / sigmaPx, spread: g.spreadPx / sigmaPx },
  ]);
  const noise = pixelNoise / unit;
  const look = (p: readonly number[]) => {
    const normal = new Float64Array(n * n);
    const pull = new Float64Array(n);
    const slope = new Float64Array(n);
    let misfit = 0;
    for (const { x, y, value } of pixels) {
      let off = value / unit;
      for (let k = 0; k < moving; k++) {
        const [dx, dy] = [x / sigmaPx - p[3 * k + 1]!, y / sigmaPx - p[3 * k + 2]!];
        const g = Math.exp(-(dx * dx + dy * dy) / 2);
        off -= p[3 * k]! * g;
        slope[3 * k] = g;
        slope[3 * k + 1] = p[3 * k]! * g * dx;
        slope[3 * k + 2] = p[3 * k]! * g * dy;
      }
      round.forEach((c, k) => {
        const g = Math.exp(-((x - c.xPx) ** 2 + (y - c.yPx) ** 2) / (2 * sigmaPx * sigmaPx));
        off -= p[3 * moving + k]! * g;
        slope[3 * moving + k] = g;
      });
      off /= noise;
      misfit += off * off;
      for (let a = 0; a < n; a++) {
        pull[a]! += (slope[a]! / noise) * off;
        for (let b = a; b < n; b++) normal[a * n + b]! += (slope[a]! * slope[b]!) / noise ** 2;
      }
    }
    for (const { index, value, spread } of known) {
      const off = (value - p[index]!) / spread;
      misfit += off * off;
      pull[index]! += off / spread;
      normal[index * n + index]! += 1 / spread ** 2;
    }
    return { misfit, normal, pull };
  };
  let seen = look(at);
  let damping = 1e-3;
  for (let step = 0; step < STEPS && damping < 1e6; step++) {
    const { normal, pull } = seen;
    const A = new Matrix(Array.from({ length: n }, (_, r) => Array.from({ length: n }, (_, c) => normal[Math.min(r, c) * n + Math.max(r, c)]! * (r === c ? 1 + damping : 1) + (r === c ? 1e-9 : 0)))); // prettier-ignore
    const change = solve(A, Matrix.columnVector([...pull]));
    const next = at.map((v, k) => v + change.get(k, 0));
    const then = look(next);
    if (then.misfit < seen.misfit) {
      const gain = seen.misfit - then.misfit;
      [at, seen] = [next, then];
      damping /= 10;
      if (gain < 1e-3) break;
    } else damping *= 10;
  }
  const lights = guesses.map((_, k) => ({ xPx: at[3 * k + 1]! * sigmaPx, yPx: at[3 * k + 2]! * sigmaPx, flux: at[3 * k]! * unit * whole })); // prettier-ignore
  return { lights, misfit: seen.misfit, pixels: pixels.length };
}

/** A spot that is two lights: that of the place it was taken for, and one that is far from its own. */
export interface Merged {
  own: Parted["lights"][number];
  other: Parted["lights"][number];
}

/** The two models must differ by this much misfit (squared standard deviations): chance does that once in 10^5 blends. */
const LEAST_GAIN = 25;
/** Lights of the parted spot are like what is expected of them within these factors. */
const LIKE = { own: 1.8, other: 1.7 };
/** First tries of the other light: so many widths from the spot, all round. */
const TRIES = [0.3, 1.6];
const WAYS = 6;

/**
 * A spot as the light of its own place and another, expected as bright as `other`; null where its own alone explains
 * it as well.
 */
// eslint-disable-next-line max-params -- called in the inner loop
export function partSpot(
  light: Light,
  spot: Centre,
  own: Guess,
  other: Pick<Guess, "flux" | "scatter">,
  round: readonly Centre[],
  how: { sigmaPx: number; level: number; pixelNoise: number },
): Merged | null {
  const about = [spot, own];
  const alone = part(light, [own], round, { ...how, about });
  if (!alone) return null;
  let best: Parted | null = null;
  for (const far of TRIES)
    for (let k = 0; k < WAYS; k++) {
      const turn = (2 * Math.PI * k) / WAYS;
      const there = {
        xPx: spot.xPx + far * how.sigmaPx * Math.cos(turn),
        yPx: spot.yPx + far * how.sigmaPx * Math.sin(turn),
      };
      const two = part(light, [own, { ...other, ...there, spreadPx: Infinity }], round, { ...how, about });
      if (two && (!best || two.misfit < best.misfit)) best = two;
    }
  if (!best) return null;
  // where no profile fits, less is proven by a better one
  const scale = Math.max(1, best.misfit / best.pixels);
  const [a, b] = best.lights as [Parted["lights"][number], Parted["lights"][number]];
  const isLike = (flux: number, expected: number, most: number) => flux < most * expected && flux > expected / most; // prettier-ignore
  if ((alone.misfit - best.misfit) / scale < LEAST_GAIN) return null;
  if (!isLike(a.flux, own.flux, LIKE.own) || !isLike(b.flux, other.flux, LIKE.other)) return null;
  return { own: a, other: b };
}
