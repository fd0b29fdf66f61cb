import type { Vector } from "./linear.ts";
import { sinCosDeg } from "./exactTrig.ts";

/** Below this true altitude nothing is lifted: it stays out of sight whatever the air does. */
export const LOWEST_REFRACTED_DEG = -2;
const CELLS = 4096;
const LOWEST_SINE = sinCosDeg(LOWEST_REFRACTED_DEG)[0];
const CELLS_PER_SINE = CELLS / (1 - LOWEST_SINE);
const RADIANS_PER_ARCMIN = Math.PI / 10_800;

/**
 * Refraction in arcminutes at a true altitude in degrees, 1010 hPa and 10 °C: Saemundsson's formula, Sky
 * and Telescope 72 (1986) 70, with the constant of Meeus, Astronomical Algorithms, ch. 16 that makes it
 * vanish at the zenith. 0 below LOWEST_REFRACTED_DEG.
 */
export function refractionArcmin(trueAltitudeDeg: number): number {
  if (trueAltitudeDeg < LOWEST_REFRACTED_DEG) return 0;
  const [s, c] = sinCosDeg(trueAltitudeDeg + 10.3 / (trueAltitudeDeg + 5.11));
  return (1.02 * c) / s + 0.0019279;
}

/** Altitudes whose sines are the table's nodes, in degrees: by Newton's rule, for the same bits everywhere. */
export function altitudesOfSines(lowestDeg: number, sines: Float64Array): Float64Array {
  let altitude = lowestDeg;
  return sines.map((sine) => {
    for (let turn = 0; turn < 12; turn++) {
      const [s, c] = sinCosDeg(altitude);
      if (c < 1e-9) break;
      altitude += ((sine - s) / c) * (180 / Math.PI);
    }
    return altitude;
  });
}

/** Refraction (radians) over the cosine of the altitude, at even steps of the altitude's sine. */
function buildTable(): Float64Array {
  const sines = Float64Array.from({ length: CELLS }, (_, i) => LOWEST_SINE + i / CELLS_PER_SINE);
  const table = new Float64Array(CELLS + 2);
  altitudesOfSines(LOWEST_REFRACTED_DEG, sines).forEach((altitude, i) => {
    table[i] = (refractionArcmin(altitude) * RADIANS_PER_ARCMIN) / sinCosDeg(altitude)[1];
  });
  table.fill(2 * table[CELLS - 1]! - table[CELLS - 2]!, CELLS);
  return table;
}

let table: Float64Array | null = null;

/** What the pass over the stars needs to refract without trigonometry; see `refract` for its use. */
export interface RefractionTable {
  overCosine: Float64Array;
  lowestSine: number;
  cellsPerSine: number;
}

export function refractionTable(): RefractionTable {
  table ??= buildTable();
  return { overCosine: table, lowestSine: LOWEST_SINE, cellsPerSine: CELLS_PER_SINE };
}

/** Lifts a true horizontal unit vector to where it is seen. Table error below 0.01 arcseconds. */
export function refract([x, y, z]: Vector): Vector {
  const { overCosine, lowestSine, cellsPerSine } = refractionTable();
  if (z < lowestSine) return [x, y, z];
  const at = (z - lowestSine) * cellsPerSine;
  const cell = Math.floor(at);
  const low = overCosine[cell]!;
  const slope = low + (at - cell) * (overCosine[cell + 1]! - low);
  const cosine = Math.sqrt(Math.max(0, 1 - z * z));
  const angle = slope * cosine;
  const square = angle * angle;
  const cos = 1 - square / 2;
  const sinOverAngle = 1 - square / 6;
  const shrink = cos - z * slope * sinOverAngle;
  return [x * shrink, y * shrink, z * cos + cosine * angle * sinOverAngle];
}

/** Sine of altitude to which `unrefract` iterates: 2e-7 arcseconds. */
const UNREFRACT_TOLERANCE = 1e-12;

/** The inverse of `refract`, by iteration; for seen altitudes from the horizon up. */
export function unrefract(seen: Vector): Vector {
  let trueDirection = seen;
  for (let turn = 0; turn < 40; turn++) {
    const tooHigh = refract(trueDirection)[2] - seen[2];
    if (Math.abs(tooHigh) < UNREFRACT_TOLERANCE) break;
    trueDirection = lowerTo(seen, trueDirection[2] - tooHigh);
  }
  return trueDirection;
}

/** The direction with the same azimuth and a given sine of altitude. */
function lowerTo([x, y]: Vector, sine: number): Vector {
  const z = Math.min(1, sine);
  const across = Math.sqrt(x * x + y * y);
  const scale = across > 0 ? Math.sqrt(1 - z * z) / across : 0;
  return [x * scale, y * scale, z];
}
