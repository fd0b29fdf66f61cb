/**
 * Sine, cosine and arctangent from + - * / and sqrt alone. Math.sin and its kin may differ in the last bit
 * between engines (ECMA-262 leaves their precision open); these give the same bits everywhere.
 * Accuracy: 2e-15 for sine and cosine within a few turns, 1e-12 degrees for the arctangent.
 */
const DEG = Math.PI / 180;

/** Taylor series in Horner's form, enough for |x| <= pi/4: the first term left out is below 1e-17. */
function sinSmall(x: number): number {
  const t = x * x;
  let sum = 1 / 355687428096000;
  sum = sum * t - 1 / 1307674368000;
  sum = sum * t + 1 / 6227020800;
  sum = sum * t - 1 / 39916800;
  sum = sum * t + 1 / 362880;
  sum = sum * t - 1 / 5040;
  sum = sum * t + 1 / 120;
  sum = sum * t - 1 / 6;
  return x + x * t * sum;
}
function cosSmall(x: number): number {
  const t = x * x;
  let sum = 1 / 20922789888000;
  sum = sum * t - 1 / 87178291200;
  sum = sum * t + 1 / 479001600;
  sum = sum * t - 1 / 3628800;
  sum = sum * t + 1 / 40320;
  sum = sum * t - 1 / 720;
  sum = sum * t + 1 / 24;
  sum = sum * t - 1 / 2;
  return 1 + t * sum;
}

/** Sine and cosine of an angle in degrees, as `[sin, cos]`. Quarter turns are exact. */
export function sinCosDeg(angleDeg: number): [number, number] {
  const quarter = Math.round(angleDeg / 90);
  const rest = (angleDeg - quarter * 90) * DEG;
  const s = sinSmall(rest);
  const c = cosSmall(rest);
  switch (((quarter % 4) + 4) % 4) {
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

/** Arctangent of t in 0..1: the half-angle rule twice, then the series. */
function atanUnit(t: number): number {
  let x = t / (1 + Math.sqrt(1 + t * t));
  x = x / (1 + Math.sqrt(1 + x * x));
  const q = x * x;
  let sum = 1 / 19;
  sum = 1 / 17 - q * sum;
  sum = 1 / 15 - q * sum;
  sum = 1 / 13 - q * sum;
  sum = 1 / 11 - q * sum;
  sum = 1 / 9 - q * sum;
  sum = 1 / 7 - q * sum;
  sum = 1 / 5 - q * sum;
  sum = 1 / 3 - q * sum;
  sum = 1 - q * sum;
  return 4 * x * sum;
}

/** Angle of the point (x, y) from the x axis in degrees, -180..180; 0 for the origin. */
export function atan2Deg(y: number, x: number): number {
  const ax = Math.abs(x);
  const ay = Math.abs(y);
  if (ax === 0 && ay === 0) return 0;
  let angle = ay <= ax ? atanUnit(ay / ax) / DEG : 90 - atanUnit(ax / ay) / DEG;
  if (x < 0) angle = 180 - angle;
  return y < 0 ? -angle : angle;
}
