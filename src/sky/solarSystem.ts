import type { Matrix, Vector } from "./linear.ts";
import { apply, lengthOf, rotationX } from "./linear.ts";
import { planetSeries } from "./planetSeries.ts";
import { JD_J2000 } from "./time.ts";

export type PlanetName = keyof typeof planetSeries;

type Powers = Float64Array[];
const parsed = new Map<PlanetName, { L: Powers; B: Powers; R: Powers }>();
/** Obliquity of the J2000 ecliptic, IAU 2006. */
const toEquator: Matrix = rotationX(-84381.406 / 3600);
/** Light takes this part of a day for one astronomical unit (IAU 2012 au, c of the SI). */
const DAYS_PER_AU = 499.004783836 / 86_400;

function seriesOf(name: PlanetName): { L: Powers; B: Powers; R: Powers } {
  let series = parsed.get(name);
  if (!series) {
    const numbers = (text: string) => Float64Array.from(text ? text.split(" ") : [], Number);
    const { L, B, R } = planetSeries[name];
    series = { L: L.map(numbers), B: B.map(numbers), R: R.map(numbers) };
    parsed.set(name, series);
  }
  return series;
}

/** Sum over powers of t (Julian millennia) of t^n · Σ a·cos(b + c·t). */
function evaluate(powers: Powers, t: number): number {
  let total = 0;
  for (let n = powers.length - 1; n >= 0; n--) {
    const terms = powers[n]!;
    let sum = 0;
    for (let i = terms.length - 3; i >= 0; i -= 3) {
      sum += terms[i]! * Math.cos(terms[i + 1]! + terms[i + 2]! * t);
    }
    total = total * t + sum;
  }
  return total;
}

/**
 * Heliocentric place of a planet in astronomical units, ICRS axes, by VSOP87B cut at 1e-6 (see
 * scripts/sky-series.ts).
 */
export function heliocentric(name: PlanetName, jdTt: number): Vector {
  const t = (jdTt - JD_J2000) / 365_250;
  const { L, B, R } = seriesOf(name);
  const lon = evaluate(L, t);
  const lat = evaluate(B, t);
  const radius = evaluate(R, t);
  const flat = radius * Math.cos(lat);
  return apply(toEquator, [flat * Math.cos(lon), flat * Math.sin(lon), radius * Math.sin(lat)]);
}

export function minus(a: Vector, b: Vector): Vector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

/** A planet as the light now arriving at the Earth left it: from the Earth and from the Sun, in au. */
export function planetPlace(
  name: PlanetName,
  jdTt: number,
  earth: Vector,
): { fromEarth: Vector; fromSun: Vector } {
  const now = heliocentric(name, jdTt);
  // Once is enough: while the light time changes by this step, a planet moves a few kilometres.
  const fromSun = heliocentric(name, jdTt - lengthOf(minus(now, earth)) * DAYS_PER_AU);
  return { fromEarth: minus(fromSun, earth), fromSun };
}
