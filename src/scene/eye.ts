import { pow10, settled } from "./exact.ts";

/**
 * Brightness of a dark country sky without Moon, magnitudes per square arcsecond: the darkest skies have about
 * 22, the rim of the countryside 21.5 (common practice of sky surveys, from memory).
 */
export const DARK_SKY_MU = 21.6;

/**
 * Faintest star an eye sees on a background of `mu` magnitudes per square arcsecond: Schaefer 1990, PASP 102,
 * 212, with the threshold curve of Hecht 1947 for the rods, the eye's own light loss left out. 6.435 at 21.6.
 */
export function limitingMagnitude(mu: number): number {
  return threshold(7.93, 4.316, mu);
}

/** The same for the cones, which alone see colour (Hecht's second branch, as in Schaefer 1990). 4.284 at 21.6. */
export function coneMagnitude(mu: number): number {
  return threshold(4.305, 2.316, mu);
}

/** -16.57 - 2.5 log10 (c (1 + sqrt(k B))^2) with B in nanolambert written as `mu`. */
function threshold(zero: number, bend: number, mu: number): number {
  return settled(zero - 5 * Math.log10(1 + pow10(bend - mu / 5)));
}

const CONE_MAGNITUDE = coneMagnitude(DARK_SKY_MU);

/** How much of a star's colour is seen, 0 to 1: the part of its light over the threshold of the cones. */
export function colourSeen(magnitude: number): number {
  return magnitude < CONE_MAGNITUDE ? 1 - pow10(-0.4 * (CONE_MAGNITUDE - magnitude)) : 0;
}

/** So many of the brightest lights lead the picture, the last of them half a magnitude over the screen's white. */
const LEADING = 10;
const OVER_WHITE = pow10(0.2);

/**
 * The one exposure: the light that peaks at the screen's white, from all that are seen. The ten brightest stand half
 * a magnitude and more over white, which the screen shows as size (`pointSpread`); all that is below white stands on
 * the screen in proportion to its light.
 */
export function exposureFor(lights: Iterable<number>): number {
  const sorted = [...lights].sort((a, b) => b - a);
  return (sorted[Math.min(LEADING, sorted.length) - 1] ?? 1) / OVER_WHITE;
}
