/**
 * Pogson's scale without logarithms, so that every engine gets the same last bit: 5 magnitudes are a
 * factor of 100 in light (Pogson 1856). Magnitudes are whole thousandths.
 */

/** Ten to the 0.0004: one thousandth of a magnitude. */
const STEP = 1.0009214583192958;
const BITS = 17;
const BRIGHTEST_MILLI = -60_000;
const FAINTEST_MILLI = 60_000;

const powers: number[] = [STEP];
while (powers.length < BITS) powers.push(powers[powers.length - 1]! ** 2);

/** Light of an object, 1 for magnitude 0. */
export function lightOf(magnitudeMilli: number): number {
  let left = Math.min(Math.abs(magnitudeMilli), FAINTEST_MILLI);
  let light = 1;
  for (let bit = 0; left > 0; bit++, left >>= 1) if (left & 1) light *= powers[bit]!;
  return magnitudeMilli > 0 ? 1 / light : light;
}

/** Magnitude in whole thousandths of a light greater than 0: the nearest in magnitude. */
export function magnitudeOf(light: number): number {
  let low = BRIGHTEST_MILLI;
  let high = FAINTEST_MILLI;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    // Past the geometric mean of two steps the fainter one is nearer.
    if (light * light >= lightOf(middle) * lightOf(middle + 1)) high = middle;
    else low = middle + 1;
  }
  return low;
}
