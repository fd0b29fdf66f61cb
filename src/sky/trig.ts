const RADIANS_PER_DEGREE = Math.PI / 180;
// Taylor coefficients 1/n!; on [-45, 45] degrees the first term left out is below 5e-17.
const SIN = [1, -1 / 6, 1 / 120, -1 / 5040, 1 / 362880, -1 / 39916800, 1 / 6227020800, -1 / 1307674368000];
const COS = [1, -1 / 2, 1 / 24, -1 / 720, 1 / 40320, -1 / 3628800, 1 / 479001600, -1 / 87178291200];
const SIN_LAST = 1 / 355687428096000;
const COS_LAST = 1 / 20922789888000;

function horner(coefficients: number[], last: number, square: number): number {
  let sum = last;
  for (let i = coefficients.length - 1; i >= 0; i--) sum = sum * square + coefficients[i]!;
  return sum;
}

/**
 * Sine and cosine of an angle in degrees, by + - * / alone: every JavaScript engine returns the same bits,
 * which Math.sin does not promise. Whole quarter turns are exact. Error below 3e-16.
 */
export function sinCosDeg(angleDeg: number): [sin: number, cos: number] {
  const turn = angleDeg % 360;
  const quarter = Math.round(turn / 90);
  const x = (turn - quarter * 90) * RADIANS_PER_DEGREE;
  const square = x * x;
  const s = x * horner(SIN, SIN_LAST, square);
  const c = horner(COS, COS_LAST, square);
  switch (quarter & 3) {
    case 0:
      return [s, c];
    case 1:
      return [c, -s];
    case 2:
      return [-s, -c];
    default:
      return [-c, s];
  }
}

/** Tangent of half an angle in degrees, engine-independent; the angle in (-180, 180). */
export function tanHalfDeg(angleDeg: number): number {
  const [s, c] = sinCosDeg(angleDeg);
  return c > 0 ? s / (1 + c) : (1 - c) / s;
}

/** Azimuth of a horizontal vector, 0 to 360 from north through east. For people to read, not to decide by. */
export function azimuthDegOf(north: number, east: number): number {
  const deg = Math.atan2(east, north) / RADIANS_PER_DEGREE;
  return deg < 0 ? deg + 360 : deg;
}

/** Altitude of a vector (any length) over its x-y plane, -90 to 90. For people to read, not to decide by. */
export function altitudeDegOf(x: number, y: number, z: number): number {
  return Math.atan2(z, Math.sqrt(x * x + y * y)) / RADIANS_PER_DEGREE;
}

/** `value` to the nearest 1/`perUnit`: takes away the last bits, in which engines differ. */
export function rounded(value: number, perUnit: number): number {
  return Math.round(value * perUnit) / perUnit;
}
