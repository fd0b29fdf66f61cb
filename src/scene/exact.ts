/**
 * Arithmetic whose last bit is the same in every engine. Only + - * / and sqrt are (IEEE 754); `Math.pow`,
 * `exp` and the trigonometric functions are not, so pictures would differ between the command and a browser.
 */

const FRACTION_BITS = 24;
const SMALLEST_EXPONENT = 323;

/** 10^(1/2), 10^(1/4), 10^(1/8) ... by repeated square roots. */
const TENTH_ROOTS: number[] = [];
for (let i = 0, root = 10; i < FRACTION_BITS; i++) {
  root = Math.sqrt(root);
  TENTH_ROOTS.push(root);
}

/** 10^exponent, the exponent rounded to 2^-24; 0 below the smallest number there is. */
export function pow10(exponent: number): number {
  if (exponent < -SMALLEST_EXPONENT) return 0;
  const steps = Math.round(Math.abs(exponent) * 2 ** FRACTION_BITS);
  let whole = Math.floor(steps / 2 ** FRACTION_BITS);
  let rest = steps - whole * 2 ** FRACTION_BITS;
  let result = 1;
  for (; whole > 0; whole--) result *= 10;
  for (let bit = FRACTION_BITS - 1; bit >= 0; bit--, rest = Math.floor(rest / 2)) {
    if (rest % 2 === 1) result *= TENTH_ROOTS[bit]!;
  }
  return exponent < 0 ? 1 / result : result;
}

/** value^(1/5) for value >= 0, by Newton's method from above. */
export function fifthRoot(value: number): number {
  if (value <= 0) return 0;
  let root = value > 1 ? value : 1;
  for (let i = 0; i < 200; i++) {
    const next = (4 * root + value / (root * root * root * root)) / 5;
    if (next >= root) break;
    root = next;
  }
  return root;
}

/** Rounds what a trigonometric function gave to 2^-30, where engines agree. */
export function settled(value: number): number {
  return Math.round(value * 2 ** 30) / 2 ** 30;
}

/** 0 below `from`, 1 above `to`, 3t^2 - 2t^3 between. */
export function smoothstep(from: number, to: number, value: number): number {
  if (value <= from) return 0;
  if (value >= to) return 1;
  const t = (value - from) / (to - from);
  return t * t * (3 - 2 * t);
}

/** Even 32-bit hash of two integers: the same strand gets the same chance whatever else changes. */
export function hash32(seed: number, index: number): number {
  let h = Math.imul(seed ^ 0x9e3779b9, 0x85ebca6b) ^ Math.imul(index + 0x7f4a7c15, 0xc2b2ae35);
  h = Math.imul(h ^ (h >>> 16), 0x21f0aaad);
  h = Math.imul(h ^ (h >>> 15), 0x735a2d97);
  return (h ^ (h >>> 15)) >>> 0;
}

/** Chance in [0, 1) from two integers. */
export function chance(seed: number, index: number): number {
  return hash32(seed, index) / 2 ** 32;
}
