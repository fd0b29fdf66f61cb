import { measureBackground, smoothed, SMOOTH_WHITE, valueAt, type Background } from "./background.ts";
import { giveBack } from "./giveBack.ts";
import { Near, median } from "./near.ts";
import { isClipped, lightAt, type Light } from "./picture.ts";

/** A small light in the picture. Pixel (0, 0) covers 0 to 1, so its middle is at 0.5. */
export interface PictureSpot {
  xPx: number;
  yPx: number;
  /** Light above the background, summed; for a clipped spot at least so much. */
  flux: number;
  /** Standard deviation of its width, from the area above half its peak. */
  sigmaPx: number;
  /** Height above the background over the scatter of the smoothed picture. */
  significance: number;
  clipped: boolean;
  /** Longest over shortest extent. */
  elongation: number;
}

/** What was measured of a whole picture. */
export interface Sighting {
  light: Light;
  background: Background;
  /** Brightest first. */
  spots: PictureSpot[];
  /** Too wide to be a strand's end: signs, lamps, reflections. */
  wide: PictureSpot[];
  /** Typical width of a spot. */
  sigmaPx: number;
  backgroundAt(xPx: number, yPx: number): { level: number; noise: number };
}

/** A spot stands so many standard deviations over the background: by chance once in some 3 million places. */
const THRESHOLD = 5;
/** Where the background itself is brighter than this (1 is white) a strand's light can't be told from it. */
const GLARE = 0.5;
/** A spot with more pixels above half its peak than this is no strand. */
const LARGEST_AREA_PX = 1600;
/** The foot of a brighter light is what is seen so far round a peak, and a light on it stands over it by this part of it. */
const RING_PX = 5;
const LEAST_OVER_FOOT = 0.25;
/** Gaussian: full width at half maximum over standard deviation. */
const FWHM_TO_SIGMA = 2.3548;
const LEAST_SIGMA_PX = 0.7;
const CENTROID_STEPS = 12;
/** Two measured centres nearer than this, in widths, are one spot. */
const SAME_WIDTHS = 1;
/** A light this much fainter, and lower, than one this near is a ripple of it, or can't be told from one: JPEG codes blocks of 8 pixels. */
const RIPPLE = 0.02;
const RIPPLE_PX = 12;
/** More spots than this are noise or a street of lights; the brightest are kept. */
const MOST_SPOTS = 20_000;

/** Finds the small lights of a picture, each to a fraction of a pixel. */
export function findSpots(light: Light): Sighting {
  const { widthPx, heightPx } = light;
  const image = smoothed(light);
  const background = measureBackground(image, widthPx, heightPx);
  const backgroundAt = (xPx: number, yPx: number) => ({
    level: valueAt(background, background.level, xPx - 0.5, yPx - 0.5, widthPx, heightPx),
    noise: valueAt(background, background.noise, xPx - 0.5, yPx - 0.5, widthPx, heightPx),
  });
  const spots: PictureSpot[] = [];
  const wide: PictureSpot[] = [];
  const flooded = new Flood(image, widthPx, heightPx);
  for (const peak of peaksOf(image, widthPx, heightPx, background)) {
    const x = peak % widthPx;
    const y = Math.floor(peak / widthPx);
    const behind = backgroundAt(x + 0.5, y + 0.5);
    const { noise } = behind;
    // a light on the foot of a brighter one, in its glow, stands over that foot
    const foot = ringLevel(light, image, x, y);
    const top = image[peak]! / SMOOTH_WHITE;
    const over = top - foot;
    const onFoot = !isClipped(light.light[peak]!) && foot - behind.level > (top - behind.level) / 2;
    const stands = over > Math.max(THRESHOLD * noise, LEAST_OVER_FOOT * (foot - behind.level));
    const level = onFoot && stands ? foot : behind.level;
    const height = top - level;
    const area = flooded.from(peak, (level + height / 2) * SMOOTH_WHITE, LARGEST_AREA_PX);
    // what does not stand over it is the foot's own unevenness
    if (area === null || (onFoot && !stands && area.touches)) continue;
    // the smoothing itself has a variance of one pixel squared
    const seen = (2 * Math.sqrt(area.count / Math.PI)) / FWHM_TO_SIGMA;
    const sigmaPx = Math.sqrt(Math.max(LEAST_SIGMA_PX ** 2, seen ** 2 - 1));
    const tooWide = area.count >= LARGEST_AREA_PX;
    const { xPx, yPx } = tooWide
      ? { xPx: area.xPx, yPx: area.yPx }
      : centroid(light, x + 0.5, y + 0.5, sigmaPx, level);
    const { flux, clipped } = aperture(light, xPx, yPx, 3 * sigmaPx, level);
    const spot = {
      xPx,
      yPx,
      flux,
      sigmaPx,
      significance: height / noise,
      // so far round a wide one some strand may be clipped
      clipped: tooWide ? isClipped(light.light[peak]!) : clipped,
      elongation: area.elongation,
    };
    (tooWide ? wide : spots).push(spot);
  }
  // a phone holds several such arrays, or not
  giveBack(image);
  giveBack(flooded.taken);
  const kept = withoutDoubles(spots.sort((a, b) => b.flux - a.flux || a.yPx - b.yPx || a.xPx - b.xPx));
  const plain = kept.filter((s) => !s.clipped).map((s) => s.sigmaPx);
  plain.sort((a, b) => a - b);
  const sigmaPx = plain[plain.length >> 1] ?? 1;
  return { light, background, spots: kept.slice(0, MOST_SPOTS), wide, sigmaPx, backgroundAt };
}

/** Broader than the usual spot by this, a light's foot lies under what stands beside it, so many of its widths out. */
const BROAD = 2.5;
const FOOT_WIDTHS = 5;

/** Lamps, signs, reflections: what is broader than any strand's end. */
export const broadLights = ({ spots, wide, sigmaPx }: Sighting): PictureSpot[] => [
  ...wide,
  ...spots.filter((spot) => spot.sigmaPx > BROAD * sigmaPx),
];

/** Whether a place lies on the foot of one of these lights. */
export const reaches = (lights: readonly PictureSpot[], xPx: number, yPx: number): boolean =>
  lights.some((s) => (s.xPx - xPx) ** 2 + (s.yPx - yPx) ** 2 < (FOOT_WIDTHS * s.sigmaPx) ** 2);

/** The middle of what is seen on a ring round a pixel. */
function ringLevel({ widthPx, heightPx }: Light, image: Uint16Array, x: number, y: number): number {
  return median(
    RING.map(([dx, dy]) => {
      const [i, j] = [Math.min(widthPx - 1, Math.max(0, x + dx)), Math.min(heightPx - 1, Math.max(0, y + dy))]; // prettier-ignore
      return image[j * widthPx + i]! / SMOOTH_WHITE;
    }),
  );
}
const RING = Array.from({ length: 16 }, (_, k) => [
  Math.round(RING_PX * Math.cos((Math.PI * k) / 8)),
  Math.round(RING_PX * Math.sin((Math.PI * k) / 8)),
] as const); // prettier-ignore

/** Pixels above the threshold that no neighbour outshines; of equal ones the first. */
function peaksOf(image: Uint16Array, widthPx: number, heightPx: number, background: Background): number[] {
  const peaks: number[] = [];
  const { columns } = background;
  // a first sieve with the cell's own numbers: the blended ones are asked for the few that pass
  for (let y = 1; y < heightPx - 1; y++) {
    const row = Math.min(background.rows - 1, Math.floor((y * background.rows) / heightPx)) * columns;
    for (let x = 1; x < widthPx - 1; x++) {
      const i = y * widthPx + x;
      const v = image[i]!;
      if (
        v < image[i + 1]! ||
        v <= image[i - 1]! ||
        v < image[i + widthPx]! ||
        v <= image[i - widthPx]! ||
        v < image[i + widthPx + 1]! ||
        v <= image[i - widthPx - 1]! ||
        v < image[i + widthPx - 1]! ||
        v <= image[i - widthPx + 1]!
      )
        continue;
      const c = row + Math.min(columns - 1, Math.floor((x * columns) / widthPx));
      const height = v / SMOOTH_WHITE;
      if (background.level[c]! > GLARE || height < background.level[c]! + background.noise[c]!) continue;
      const level = valueAt(background, background.level, x, y, widthPx, heightPx);
      const noise = valueAt(background, background.noise, x, y, widthPx, heightPx);
      if (height - level > THRESHOLD * noise) peaks.push(i);
    }
  }
  // brightest first: a plateau's first peak claims the plateau
  return peaks.sort((a, b) => image[b]! - image[a]! || a - b);
}

/** Grows areas from peaks; a peak inside an earlier area is not grown again. */
class Flood {
  /** The number of the area that a pixel belongs to; 0 for none. */
  readonly taken: Uint8Array;
  private area = 0;
  private touches = false;
  private readonly stack: number[] = [];
  private readonly image: Uint16Array;
  private readonly widthPx: number;
  private readonly heightPx: number;

  constructor(image: Uint16Array, widthPx: number, heightPx: number) {
    this.image = image;
    this.widthPx = widthPx;
    this.heightPx = heightPx;
    this.taken = new Uint8Array(image.length);
  }

  /** The area above a level round a peak, up to a number of pixels, and whether it runs into an earlier one; null where an earlier one has the peak. */
  from(
    peak: number,
    above: number,
    most: number,
  ): { count: number; xPx: number; yPx: number; elongation: number; touches: boolean } | null {
    const { taken, stack, widthPx } = this;
    if (taken[peak] !== 0) return null;
    // a byte a pixel: the number comes again after 255 areas, far away as a rule
    this.area = (this.area % 255) + 1;
    let [count, sx, sy, sxx, syy, sxy] = [0, 0, 0, 0, 0, 0];
    this.touches = false;
    stack.length = 0;
    stack.push(peak);
    taken[peak] = this.area;
    const x0 = peak % widthPx;
    const y0 = Math.floor(peak / widthPx);
    while (stack.length > 0 && count < most) {
      const i = stack.pop()!;
      const x = i % widthPx;
      const y = (i - x) / widthPx;
      const [dx, dy] = [x - x0, y - y0];
      count++;
      sx += dx;
      sy += dy;
      sxx += dx * dx;
      syy += dy * dy;
      sxy += dx * dy;
      if (x > 0) this.visit(i - 1, above);
      if (x < widthPx - 1) this.visit(i + 1, above);
      if (y > 0) this.visit(i - widthPx, above);
      if (y < this.heightPx - 1) this.visit(i + widthPx, above);
    }
    const [mx, my] = [sx / count, sy / count];
    // the variance of a single pixel's square keeps tiny areas round
    const [a, b, c] = [sxx / count - mx * mx + 1 / 12, syy / count - my * my + 1 / 12, sxy / count - mx * my];
    const spread = Math.sqrt((a - b) ** 2 / 4 + c * c);
    const mean = (a + b) / 2;
    const elongation = Math.sqrt((mean + spread) / Math.max(1e-6, mean - spread));
    return { count, xPx: x0 + mx + 0.5, yPx: y0 + my + 0.5, elongation, touches: this.touches };
  }

  private visit(i: number, above: number): void {
    if (this.image[i]! < above || this.taken[i] === this.area) return;
    if (this.taken[i] !== 0) {
      this.touches = true;
      return;
    }
    this.taken[i] = this.area;
    this.stack.push(i);
  }
}

/**
 * Centre of light under a Gaussian window as wide as the spot, moved until it rests: nearly as exact as fitting the
 * spot's true shape, and little disturbed by neighbours. Twice the step undoes the pull of the window.
 */
export function centroid(
  { widthPx, heightPx, light }: Light,
  xPx: number,
  yPx: number,
  sigmaPx: number,
  level: number,
): { xPx: number; yPx: number } {
  const reach = Math.max(2, Math.ceil(3 * sigmaPx));
  let [x, y] = [xPx, yPx];
  for (let step = 0; step < CENTROID_STEPS; step++) {
    let [sum, sx, sy] = [0, 0, 0];
    const left = Math.max(0, Math.floor(x - reach));
    const right = Math.min(widthPx - 1, Math.floor(x + reach));
    const top = Math.max(0, Math.floor(y - reach));
    const foot = Math.min(heightPx - 1, Math.floor(y + reach));
    for (let j = top; j <= foot; j++)
      for (let i = left; i <= right; i++) {
        const [dx, dy] = [i + 0.5 - x, j + 0.5 - y];
        const w =
          Math.exp(-(dx * dx + dy * dy) / (2 * sigmaPx * sigmaPx)) *
          (lightAt(light[j * widthPx + i]!) - level);
        sum += w;
        sx += w * dx;
        sy += w * dy;
      }
    if (sum <= 0) break;
    const [mx, my] = [(2 * sx) / sum, (2 * sy) / sum];
    if (Math.abs(x + mx - xPx) > reach || Math.abs(y + my - yPx) > reach) break;
    x += mx;
    y += my;
    if (Math.abs(mx) + Math.abs(my) < 0.002) break;
  }
  return { xPx: x, yPx: y };
}

/** Light above a level within a radius, and whether any pixel of it is clipped. */
export function aperture(
  { widthPx, heightPx, light }: Light,
  xPx: number,
  yPx: number,
  radiusPx: number,
  level: number,
): { flux: number; clipped: boolean; pixels: number } {
  let flux = 0;
  let pixels = 0;
  let clipped = false;
  const left = Math.max(0, Math.floor(xPx - radiusPx));
  const right = Math.min(widthPx - 1, Math.floor(xPx + radiusPx));
  const top = Math.max(0, Math.floor(yPx - radiusPx));
  const foot = Math.min(heightPx - 1, Math.floor(yPx + radiusPx));
  for (let j = top; j <= foot; j++)
    for (let i = left; i <= right; i++) {
      if ((i + 0.5 - xPx) ** 2 + (j + 0.5 - yPx) ** 2 > radiusPx * radiusPx) continue;
      const marked = light[j * widthPx + i]!;
      clipped ||= isClipped(marked);
      flux += lightAt(marked) - level;
      pixels++;
    }
  return { flux, clipped, pixels };
}

/** What the brightest pixel of a spot holds of the light of five by five. */
export function peakShare(
  { widthPx, heightPx, light }: Light,
  { xPx, yPx }: { xPx: number; yPx: number },
  level: number,
): number {
  let [sum, most] = [0, 0];
  const [x, y] = [Math.floor(xPx), Math.floor(yPx)];
  for (let j = Math.max(0, y - 2); j <= Math.min(heightPx - 1, y + 2); j++)
    for (let i = Math.max(0, x - 2); i <= Math.min(widthPx - 1, x + 2); i++) {
      const value = lightAt(light[j * widthPx + i]!) - level;
      sum += value;
      most = Math.max(most, value);
    }
  return most / Math.max(most, sum);
}

/** The same of a light as wide as this, in the middle of a pixel. */
export function peakShareOf(sigmaPx: number): number {
  const line = [-2, -1, 0, 1, 2].reduce((sum, d) => sum + Math.exp((-d * d) / (2 * sigmaPx * sigmaPx)), 0);
  return 1 / (line * line);
}

/** Peaks of one plateau come to rest at one centre; JPEG puts faint ripples round what is bright. Brightest first. */
function withoutDoubles(spots: PictureSpot[]): PictureSpot[] {
  const near = new Near(
    spots.map((s) => s.xPx),
    spots.map((s) => s.yPx),
  );
  const gone = new Set<number>();
  return spots.filter(({ xPx, yPx, sigmaPx, flux, significance }, i) => {
    if (gone.has(i)) return false;
    const isRipple = (s: PictureSpot) => s.flux < RIPPLE * flux && s.significance < RIPPLE * significance;
    for (const j of near.within(xPx, yPx, Math.max(RIPPLE_PX, SAME_WIDTHS * sigmaPx)))
      if (j > i && (near.distance(j, xPx, yPx) < SAME_WIDTHS * sigmaPx || isRipple(spots[j]!))) gone.add(j);
    return true;
  });
}
