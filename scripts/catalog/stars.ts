import { pack } from "../../src/sky/envelope.ts";
import {
  COLOUR_FLOOR_MILLI,
  MAGNITUDE_FLOOR_CENTI,
  MOTION_BYTES,
  PLANES,
  STAR_MAGIC,
} from "../../src/sky/starFile.ts";
import type { AddedStar, SourceMotion, SourceStar } from "./sources.ts";
import { direction, nearest } from "./sphere.ts";

/** The motion list and the star list both derive from Hipparcos: the same star differs by rounding only. */
export const SAME_STAR_ARCSEC = 1;
/** ... and by the photometric source chosen for a few doubles and variables. */
export const SAME_STAR_MAGNITUDE = 0.5;

/** Components listed apart that keep together: the second shares the first one's motion through space. */
export const BOUND_COMPANIONS: readonly [number, number][] = [[71681, 71683]]; // Alpha Centauri B with A

export interface Motion {
  hip: number;
  /** Hundredths of a milliarcsecond per Julian year. */
  eastCenti: number;
  northCenti: number;
}

/** Gives every motion its star number. A motion without a star, or a doubtful one, stops the build. */
export function matchMotions(list: SourceMotion[], added: AddedStar[], stars: SourceStar[]): Motion[] {
  const bright = stars
    .filter((star) => star.magnitudeCenti <= 650)
    .map((star) => ({ star, at: direction(star.raUnits / 10000, star.decUnits / 10000) }));
  const found = new Map<number, Motion>();
  for (const entry of list) {
    const { item, arcsec } = nearest(bright, direction(entry.raDeg, entry.decDeg));
    const off = Math.abs(item.star.magnitudeCenti / 100 - entry.magnitude);
    if (arcsec > SAME_STAR_ARCSEC || off > SAME_STAR_MAGNITUDE) {
      throw new Error(`${entry.name}: nearest is HIP ${item.star.hip}, ${arcsec.toFixed(2)}", ${off} mag off`);
    }
    found.set(item.star.hip, motion(item.star.hip, entry));
  }
  for (const star of added) found.set(star.hip, motion(star.hip, star));
  for (const [companion, primary] of BOUND_COMPANIONS) {
    found.set(companion, { ...found.get(primary)!, hip: companion });
  }
  return [...found.values()].sort((a, b) => a.hip - b.hip);
}

const motion = (hip: number, rates: { raRateMas: number; decRateMas: number }): Motion => ({
  hip,
  eastCenti: Math.round(rates.raRateMas * 100),
  northCenti: Math.round(rates.decRateMas * 100),
});

const zigzag = (v: number) => (v < 0 ? -2 * v - 1 : 2 * v);

/** Packs stars (any order) with the motions of those among them; layout in src/sky/starFile.ts. */
export function packStars(list: SourceStar[], motions: Motion[]): Uint8Array {
  const stars = [...list].sort((a, b) => a.hip - b.hip);
  const numbers = new Set(stars.map((star) => star.hip));
  if (numbers.size !== stars.length) throw new Error("a star number occurs twice");
  if (motions.some((m) => !numbers.has(m.hip))) throw new Error("a motion without its star");

  const step = (pick: (star: SourceStar) => number) =>
    stars.map((star, i) => zigzag(pick(star) - (i > 0 ? pick(stars[i - 1]!) : 0)));
  const columns: [number, number[]][] = [
    [PLANES.hip, step((star) => star.hip)],
    [PLANES.ra, step((star) => star.raUnits)],
    [PLANES.dec, stars.map((star) => star.decUnits + 900_000)],
    [PLANES.magnitude, stars.map((star) => star.magnitudeCenti - MAGNITUDE_FLOOR_CENTI)],
    [
      PLANES.colour,
      stars.map((star) => (star.colourMilli === undefined ? 0 : star.colourMilli - COLOUR_FLOOR_MILLI)),
    ],
  ];
  const bytes: number[] = [];
  for (const [width, column] of columns) {
    for (const value of column) {
      if (!Number.isInteger(value) || value < 0 || value >= 256 ** width) throw new Error(`${value} does not fit`);
    }
    for (let b = 0; b < width; b++) for (const value of column) bytes.push((value >> (8 * b)) & 255);
  }
  const tail = new DataView(new ArrayBuffer(4 + motions.length * MOTION_BYTES));
  tail.setUint32(0, motions.length, true);
  motions.forEach((m, i) => {
    tail.setUint32(4 + i * MOTION_BYTES, m.hip, true);
    tail.setInt32(8 + i * MOTION_BYTES, m.eastCenti, true);
    tail.setInt32(12 + i * MOTION_BYTES, m.northCenti, true);
  });
  for (const byte of new Uint8Array(tail.buffer)) bytes.push(byte);
  return pack(STAR_MAGIC, stars.length, Uint8Array.from(bytes));
}
