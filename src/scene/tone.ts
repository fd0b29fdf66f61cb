import { fifthRoot } from "./exact.ts";

/** sRGB (IEC 61966-2-1): light of a code value 0 to 1. */
export function lightOfCode(code: number): number {
  if (code <= 0.04045) return code / 12.92;
  const c = (code + 0.055) / 1.055;
  return c * c * fifthRoot(c * c);
}

const STEPS = 8192;

/** Code value 0-255 for sqrt(light) in even steps: fine where the eye is. */
const codes = new Uint8Array(STEPS);
for (let step = 0, code = 0; step < STEPS; step++) {
  const root = (step + 0.5) / STEPS;
  while (code < 255 && lightOfCode((code + 0.5) / 255) <= root * root) code++;
  codes[step] = code;
}

/** Screen code 0-255 of an amount of light, 1 being white. */
function screenCode(light: number): number {
  if (light >= 1) return 255;
  return light > 0 ? codes[(Math.sqrt(light) * STEPS) | 0]! : 0;
}

/**
 * Puts a pixel on the screen. There is no tone curve: the screen shows light in proportion, up to its white. A
 * colour brighter than that keeps its hue.
 */
export function putPixel(out: Uint8ClampedArray, at: number, red: number, green: number, blue: number): void {
  const most = red > green ? (red > blue ? red : blue) : green > blue ? green : blue;
  const scale = most > 1 ? 1 / most : 1;
  out[at] = screenCode(red * scale);
  out[at + 1] = screenCode(green * scale);
  out[at + 2] = screenCode(blue * scale);
}
