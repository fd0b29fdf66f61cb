import { fifthRoot } from "./exact.ts";

/**
 * The one tone curve, from light to the screen, with y = x^(3/2):
 *
 *     T(x) = 1 - 1 / (1 + y + y^2/2 + y^3/6)
 *
 * which follows 1 - e^-y with arithmetic that is exact alike everywhere. The power 3/2 widens the steps between
 * strands as film for a dark hall does: in the dark an eye tells 0.75 from 1.5 mm at a glance, on a screen in a
 * lit room four times the light looks like little, and the faint halo round every strand would lie as fog on
 * velvet. What is brighter than the screen flattens out, as strands at full power do to the eye: dim the engines
 * and the sizes tell again (common practice, no source). The order of lights is never changed.
 */
export function toneCurve(light: number): number {
  const x = light > 0 ? light : 0;
  const y = x * Math.sqrt(x);
  return 1 - 1 / (1 + y * (1 + y * (1 / 2 + y / 6)));
}

/** sRGB (IEC 61966-2-1): light of a code value 0 to 1. */
export function lightOfCode(code: number): number {
  if (code <= 0.04045) return code / 12.92;
  const c = (code + 0.055) / 1.055;
  return c * c * fifthRoot(c * c);
}

/** Light above this is white: T = 0.9988, which rounds to code 255. */
export const WHITE_AT = 6.5;
const STEPS = 8192;

/** Code value 0-255 for sqrt(light) in even steps: fine where the eye is. */
const codes = new Uint8Array(STEPS);
for (let step = 0, code = 0; step < STEPS; step++) {
  const root = (step + 0.5) / STEPS;
  const shown = toneCurve(root * root * WHITE_AT);
  while (code < 255 && lightOfCode((code + 0.5) / 255) <= shown) code++;
  codes[step] = code;
}

const SCALE = STEPS / Math.sqrt(WHITE_AT);

/** Screen code 0-255 of an amount of light, through the tone curve and sRGB. */
export function screenCode(light: number): number {
  if (!(light > 0)) return 0;
  return light < WHITE_AT ? codes[(Math.sqrt(light) * SCALE) | 0]! : 255;
}
