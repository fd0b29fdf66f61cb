import { colourSeen } from "./eye.ts";

/** Light of a colour as linear sRGB with luminance 1. */
export type Tint = readonly [number, number, number];

export const WHITE: Tint = [1, 1, 1];

/** Ballesteros 2012 (arXiv:1201.1809, eq. 14): temperature of a black body with this B-V, in kelvin. */
export function temperatureK(colourBv: number): number {
  return 4600 * (1 / (0.92 * colourBv + 1.7) + 1 / (0.92 * colourBv + 0.62));
}

/**
 * Chromaticity of a black body by the cubic fit of Kang, Moon, Hong, Lee, Cho and Kim 2002 (1667 to 25000 K),
 * as linear sRGB (IEC 61966-2-1 matrix), negative parts cut, luminance 1.
 */
export function blackBody(kelvin: number): Tint {
  const k = Math.min(25000, Math.max(1667, kelvin));
  const u = 1000 / k;
  const x =
    k <= 4000
      ? ((-0.2661239 * u - 0.234358) * u + 0.8776956) * u + 0.17991
      : ((-3.0258469 * u + 2.1070379) * u + 0.2226347) * u + 0.24039;
  const y =
    k <= 2222
      ? ((-1.1063814 * x - 1.3481102) * x + 2.18555832) * x - 0.20219683
      : k <= 4000
        ? ((-0.9549476 * x - 1.37418593) * x + 2.09137015) * x - 0.16748867
        : ((3.081758 * x - 5.8733867) * x + 3.75112997) * x - 0.37001483;
  const X = x / y;
  const Z = (1 - x - y) / y;
  const red = Math.max(0, 3.2406 * X - 1.5372 - 0.4986 * Z);
  const green = Math.max(0, -0.9689 * X + 1.8758 + 0.0415 * Z);
  const blue = Math.max(0, 0.0557 * X - 0.204 + 1.057 * Z);
  const luminance = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  return [red / luminance, green / luminance, blue / luminance];
}

/**
 * Tint of a star, luminance 1, as an eye sees it: colour as far as the cones see the star at all, so that faint
 * ones are white; white too where the colour is unknown.
 */
export function starTint(colourBv: number | null, magnitude: number | null): Tint {
  if (colourBv === null || magnitude === null) return WHITE;
  const seen = colourSeen(magnitude);
  const [red, green, blue] = blackBody(temperatureK(colourBv));
  const pale = (part: number): number => 1 + seen * (part - 1);
  return [pale(red), pale(green), pale(blue)];
}
