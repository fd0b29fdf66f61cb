import { measureAt, type Centre } from "./measure.ts";
import { Near, median } from "./near.ts";
import { broadLights, reaches, type Sighting } from "./spots.ts";

/** What a measure of light says where there is none: noise as it is, alike in neighbouring pixels or coded away in blocks. */
export interface Emptiness {
  /** Standard error of a light measured near a place, at least. */
  errorAt(xPx: number, yPx: number): number;
  /** How much farther the noise of this picture reaches than normal noise of the same error, at least 1. */
  tail: number;
}

/** Empty places measured, over the whole picture, and how many near one tell of it. */
const SAMPLES = 4000;
const NEAREST = 40;
/** Empty: so many widths from every light and every planned place. */
const AWAY_WIDTHS = 7;
/** Of the distances from the middle, the part below this and what it is of a normal distribution, in standard deviations. */
const MIDDLE = { share: 0.5, sigmas: 0.6745 };
const OUTER = { share: 0.9, sigmas: 1.6449 };
/** Lights by chance among the samples are fewer than this leaves out. */
const FAR = { share: 0.998, sigmas: 3.0902 };

const quantile = (values: number[], share: number): number =>
  values.sort((a, b) => a - b)[Math.floor(share * (values.length - 1))]!;

/** Measures light at places of a picture that hold none, as it is measured where strands are. */
export function measureEmptiness(sighting: Sighting, lights: readonly Centre[]): Emptiness {
  const { light, sigmaPx } = sighting;
  const broad = broadLights(sighting);
  const step = Math.sqrt((light.widthPx * light.heightPx) / SAMPLES);
  const busy = new Near(lights.map((c) => c.xPx), lights.map((c) => c.yPx)); // prettier-ignore
  const xs: number[] = [];
  const ys: number[] = [];
  const fluxes: number[] = [];
  for (let y = step / 2; y < light.heightPx; y += step)
    for (let x = step / 2; x < light.widthPx; x += step) {
      if (busy.nearest(x, y, AWAY_WIDTHS * sigmaPx) >= 0 || reaches(broad, x, y)) continue;
      const { level } = sighting.backgroundAt(x, y);
      const { flux, clipped } = measureAt(light, [{ xPx: x, yPx: y }], sigmaPx, level, 0);
      if (clipped) continue;
      xs.push(x);
      ys.push(y);
      fluxes.push(flux);
    }
  const near = new Near(xs, ys);
  const errorAt = (xPx: number, yPx: number): number => {
    let some: number[] = [];
    for (let radius = 3 * step; some.length < NEAREST && radius < 100 * step; radius *= 2)
      some = near.within(xPx, yPx, radius);
    if (some.length < NEAREST) return 0;
    const own = some.slice(0, NEAREST).map((k) => fluxes[k]!);
    const middle = median(own);
    const off = own.map((flux) => Math.abs(flux - middle));
    return Math.max(...[MIDDLE, OUTER].map(({ share, sigmas }) => quantile(off, share) / sigmas));
  };
  const far = fluxes.map((flux, k) => flux / errorAt(xs[k]!, ys[k]!)).filter(Number.isFinite);
  const tail = far.length < SAMPLES / 10 ? 1 : Math.max(1, quantile(far, FAR.share) / FAR.sigmas);
  return { errorAt, tail };
}
