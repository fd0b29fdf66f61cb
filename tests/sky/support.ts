import { readFileSync } from "node:fs";
import { type Night, nightSchema } from "../../src/job/sections/sky.ts";
import type { BoxUm } from "../../src/geometry/types.ts";
import type { Vector } from "../../src/sky/linear.ts";
import { directionOf } from "../../src/sky/linear.ts";
import type { Catalog, StarTable } from "../../src/sky/types.ts";
import { NO_COLOUR } from "../../src/sky/types.ts";

export const ARCSEC_PER_DEGREE = 3600;

/** A night with defaults: Vienna, an evening in 2031, zenith view, no refraction. */
export function aNight(changes: Record<string, unknown> = {}): Night {
  return nightSchema.parse({
    id: "test",
    place: { latDeg: 48.2082, lonDeg: 16.3738 },
    moment: { utc: "2031-02-14T20:00:00Z" },
    refraction: false,
    ...changes,
  });
}

/** A ceiling of 16 by 12 feet. */
export const aBox: BoxUm = { minX: 0, minY: 0, maxX: 4_876_800, maxY: 3_657_600 };

export function separationArcsec(a: Vector, b: Vector): number {
  const cross = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const along = a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  return (Math.atan2(Math.hypot(...cross), along) * 648_000) / Math.PI;
}

export interface StarRow {
  raDeg: number;
  decDeg: number;
  magnitude?: number;
  hip?: number;
  /** Milliarcseconds a year; cosine of the declination included in right ascension. */
  pmRaMasPerYear?: number;
  pmDecMasPerYear?: number;
}

/** A star table made by hand, in the order of the contract: brightest first, ties by number. */
export function tableOf(stars: StarRow[]): StarTable {
  const sorted = stars
    .map((star, i) => ({ hip: i + 1, magnitude: 1, ...star }))
    .sort((a, b) => a.magnitude - b.magnitude || a.hip - b.hip);
  const directions = sorted.map((s) => directionOf(s.raDeg, s.decDeg));
  const moving = sorted.flatMap((s, i) => (s.pmRaMasPerYear || s.pmDecMasPerYear ? [i] : []));
  return {
    count: sorted.length,
    hip: Uint32Array.from(sorted, (s) => s.hip),
    magnitudeCenti: Int16Array.from(sorted, (s) => Math.round(s.magnitude * 100)),
    colourMilli: new Int16Array(sorted.length).fill(NO_COLOUR),
    x: Float64Array.from(directions, (d) => d[0]),
    y: Float64Array.from(directions, (d) => d[1]),
    z: Float64Array.from(directions, (d) => d[2]),
    movingRows: Uint32Array.from(moving),
    motion: Float64Array.from(moving.flatMap((i) => motionOf(sorted[i]!))),
  };
}

function motionOf(star: StarRow): Vector {
  const radians = Math.PI / 180;
  const [sa, ca] = [Math.sin(star.raDeg * radians), Math.cos(star.raDeg * radians)];
  const [sd, cd] = [Math.sin(star.decDeg * radians), Math.cos(star.decDeg * radians)];
  const east = ((star.pmRaMasPerYear ?? 0) * Math.PI) / 648e6;
  const north = ((star.pmDecMasPerYear ?? 0) * Math.PI) / 648e6;
  return [-sa * east - sd * ca * north, ca * east - sd * sa * north, cd * north];
}

/** Points spread evenly over the sky, with varied magnitudes: a sky whose every answer a test can work out. */
export function evenSky(count: number): Pick<Catalog, "stars"> {
  const golden = 180 * (3 - Math.sqrt(5));
  const rows = Array.from({ length: count }, (_, i) => ({
    raDeg: (i * golden) % 360,
    decDeg: (Math.asin(1 - (2 * i + 1) / count) * 180) / Math.PI,
    magnitude: ((i * 7919) % 850) / 100,
    pmRaMasPerYear: i % 50 === 0 ? 500 : 0,
  }));
  return { stars: tableOf(rows) };
}

export function readAuthority<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`../authorities/${name}`, import.meta.url), "utf8")) as T;
}
