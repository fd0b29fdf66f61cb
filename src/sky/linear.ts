import { sinCosDeg } from "./exactTrig.ts";

export type Vector = [number, number, number];
/** Row-major 3x3. */
export type Matrix = Float64Array;

/** Turns the axes (not the vector) about x by an angle in degrees, right-handed. */
export function rotationX(angleDeg: number): Matrix {
  const [s, c] = sinCosDeg(angleDeg);
  return Float64Array.of(1, 0, 0, 0, c, s, 0, -s, c);
}

/** Turns the axes (not the vector) about z by an angle in degrees, right-handed. */
export function rotationZ(angleDeg: number): Matrix {
  const [s, c] = sinCosDeg(angleDeg);
  return Float64Array.of(c, s, 0, -s, c, 0, 0, 0, 1);
}

/** first · second · ... ; the last is applied first. */
export function product(...matrices: Matrix[]): Matrix {
  return matrices.reduce((a, b) => {
    const out = new Float64Array(9);
    for (let row = 0; row < 9; row += 3) {
      for (let col = 0; col < 3; col++) {
        out[row + col] = a[row]! * b[col]! + a[row + 1]! * b[col + 3]! + a[row + 2]! * b[col + 6]!;
      }
    }
    return out;
  });
}

export function apply(m: Matrix, [x, y, z]: Vector): Vector {
  return [
    m[0]! * x + m[1]! * y + m[2]! * z,
    m[3]! * x + m[4]! * y + m[5]! * z,
    m[6]! * x + m[7]! * y + m[8]! * z,
  ];
}

/** The transpose of a rotation undoes it. */
export function applyInverse(m: Matrix, [x, y, z]: Vector): Vector {
  return [
    m[0]! * x + m[3]! * y + m[6]! * z,
    m[1]! * x + m[4]! * y + m[7]! * z,
    m[2]! * x + m[5]! * y + m[8]! * z,
  ];
}

export function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

export function lengthOf(a: Vector): number {
  return Math.sqrt(dot(a, a));
}

export function unit([x, y, z]: Vector): Vector {
  const length = Math.sqrt(x * x + y * y + z * z);
  return [x / length, y / length, z / length];
}

/** Unit vector of a longitude and latitude (right ascension and declination) in degrees, right-handed axes. */
export function directionOf(lonDeg: number, latDeg: number): Vector {
  const [sinLon, cosLon] = sinCosDeg(lonDeg);
  const [sinLat, cosLat] = sinCosDeg(latDeg);
  return [cosLat * cosLon, cosLat * sinLon, sinLat];
}

/** Horizontal unit vector (x north, y east, z zenith) of an azimuth and altitude in degrees. */
export const horizontalDirection = directionOf;
