import { atan2Deg, sinCosDeg } from "./exactTrig.ts";

/** Tangent of half an angle in degrees, engine-independent; the angle in (-180, 180). */
export function tanHalfDeg(angleDeg: number): number {
  const [s, c] = sinCosDeg(angleDeg);
  return c > 0 ? s / (1 + c) : (1 - c) / s;
}

/** Azimuth of a horizontal vector, 0 to 360 from north through east; also right ascension from x, y. */
export function azimuthDegOf(north: number, east: number): number {
  const deg = atan2Deg(east, north);
  return deg < 0 ? (deg + 360) % 360 : deg;
}

/** Altitude of a vector (any length) over its x-y plane, -90 to 90; also declination. */
export function altitudeDegOf(x: number, y: number, z: number): number {
  return atan2Deg(z, Math.sqrt(x * x + y * y));
}

/** `value` to the nearest 1/`perUnit`: takes away the last bits, in which engines differ. */
export function rounded(value: number, perUnit: number): number {
  return Math.round(value * perUnit) / perUnit;
}
