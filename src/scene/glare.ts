import { pow10 } from "./exact.ts";

/**
 * Light of a point as it is spread inside the eye, per steradian, at `deg` degrees from it: the photopic terms
 * of Spencer, Shirley, Zimmerman and Greenberg, "Physically-based glare effects for digital images", SIGGRAPH
 * 1995. Each holds the whole light of the point: over the hemisphere they add up to 0.9991, 0.9999 and 0.9999.
 */
export const GLARE_TERMS = {
  core: (deg: number): number => 2.61e6 * pow10(-LOG10_E * (deg / 0.02) * (deg / 0.02)),
  near: (deg: number): number => 20.91 / ((deg + 0.02) * (deg + 0.02) * (deg + 0.02)),
  far: (deg: number): number => 72.37 / ((deg + 0.02) * (deg + 0.02)),
};
const LOG10_E = 0.4342944819032518;

/** Parts of the light in each term (the same paper, photopic; weights from memory). They add up to 1. */
export const GLARE_WEIGHTS = { core: 0.384, near: 0.478, far: 0.138 };

/** Width of the core at half height: 0.02 degrees times 2 sqrt(ln 2). */
const CORE_DEG = 0.03330218444630791;
const DEG_PER_RAD = 57.29577951308232;
/** Farther out than this nothing of a spot is drawn, pixels. */
export const LARGEST_SPOT_PX = 200;
const STEPS_PER_PX = 8;
const FARTHEST_DEG = 60;

/** The picture of a point: the same for every light of a scene but for its strength. */
export interface PointSpread {
  /** Width of the hard core at half height, pixels. */
  corePx: number;
  /** Light at a distance of i / STEPS_PER_PX pixels from the point, 1 in the middle. */
  value: Float64Array;
  /** Sum of the light within that distance, in pixels' worth of the middle. */
  within: Float64Array;
}

/**
 * Spread of a point for a picture `focalPx` deep. The core of the eye's spread is finer than most pictures: it
 * is drawn `leastPx` wide, holds all the light that is not strewn farther, and so stays a hard point. The strewn
 * light lies where the published terms put it. Exact arithmetic only.
 */
export function pointSpread(focalPx: number, leastPx: number): PointSpread {
  const degPerPx = DEG_PER_RAD / focalPx;
  const corePx = Math.max(leastPx, CORE_DEG / degPerPx);
  const perPixel = 1 / (focalPx * focalPx);
  const strewn = (px: number): number => {
    const deg = degPerPx * Math.sqrt(px * px + corePx * corePx);
    const { near, far } = GLARE_WEIGHTS;
    return perPixel * (near * GLARE_TERMS.near(deg) + far * GLARE_TERMS.far(deg));
  };
  // 2^(-(2r/w)^2) has its half at r = w/2 and adds up to pi w^2 / (4 ln 2)
  const core = (px: number): number => pow10((-1.2041199826559248 * px * px) / (corePx * corePx));
  const coreArea = 1.1330900354567985 * corePx * corePx;
  const inCore = (1 - strewnTotal(strewn, FARTHEST_DEG / degPerPx)) / coreArea;
  const middle = inCore + strewn(0);
  const count = LARGEST_SPOT_PX * STEPS_PER_PX + 1;
  const value = new Float64Array(count);
  const within = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const px = i / STEPS_PER_PX;
    value[i] = (inCore * core(px) + strewn(px)) / middle;
    // each ring by the mean of its rims
    if (i > 0)
      within[i] =
        within[i - 1]! + (Math.PI * (2 * i - 1) * (value[i]! + value[i - 1]!)) / 2 / STEPS_PER_PX ** 2;
  }
  return { corePx, value, within };
}

/** Strewn light out to a distance, in rings that widen. */
function strewnTotal(strewn: (px: number) => number, farthestPx: number): number {
  let sum = 0;
  for (let from = 0, to = 0.125; from < farthestPx; from = to, to *= 1.03) {
    const middle = (from + to) / 2;
    sum += Math.PI * (to * to - from * from) * strewn(middle);
  }
  return sum;
}

/** Light at a distance, between the steps in proportion; 0 beyond the largest spot. */
export function spreadAt({ value }: PointSpread, px: number): number {
  const at = px * STEPS_PER_PX;
  const i = Math.floor(at);
  if (i + 1 >= value.length) return 0;
  return value[i]! + (at - i) * (value[i + 1]! - value[i]!);
}

/** First whole pixel beyond which a point with this peak adds less than `least`. */
export function reachOf({ value }: PointSpread, peak: number, least: number): number {
  let px = 1;
  while (px < LARGEST_SPOT_PX && peak * value[px * STEPS_PER_PX]! > least) px++;
  return px;
}

/** Light within a distance of whole pixels. */
export function lightWithin({ within }: PointSpread, px: number): number {
  return within[px * STEPS_PER_PX]!;
}
