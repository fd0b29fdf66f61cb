import { altitudesOfSines } from "./refraction.ts";
import { sinCosDeg } from "./exactTrig.ts";
import { rounded } from "./trig.ts";
import { FACTS } from "../trade/facts.ts";

const CELLS = 2048;
/** Rounds away the bits in which Math.pow differs between engines. */
const PER_MILLIMAG = 10_000;

/** Relative air mass at an apparent altitude in degrees, 0 to 90: Kasten and Young, Applied Optics 28 (1989) 4735. */
export function airMass(altitudeDeg: number): number {
  const [sine] = sinCosDeg(altitudeDeg);
  return 1 / (sine + 0.50572 * Math.pow(altitudeDeg + 6.07995, -1.6364));
}

let table: Float64Array | null = null;

function buildTable(): Float64Array {
  // Even steps in the square root of the sine: the curve bends hardest at the horizon.
  const sines = Float64Array.from({ length: CELLS }, (_, i) => (i / CELLS) * (i / CELLS));
  const values = new Float64Array(CELLS + 2).fill(FACTS.extinctionMag.value * 1000 * airMass(90));
  altitudesOfSines(0, sines).forEach((altitude, i) => {
    values[i] = rounded(FACTS.extinctionMag.value * 1000 * airMass(altitude), PER_MILLIMAG);
  });
  return values;
}

/** Dimming in whole thousandths of a magnitude at the sine of an apparent altitude, 0 to 1. */
export function extinctionMilli(sine: number): number {
  table ??= buildTable();
  const at = Math.sqrt(sine < 0 ? 0 : sine) * CELLS;
  const cell = Math.floor(at);
  const low = table[cell]!;
  return Math.round(low + (at - cell) * (table[cell + 1]! - low));
}
