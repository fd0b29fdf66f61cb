import type { Place } from "../job/sections/sky.ts";

/**
 * Stars as parallel columns, brightest first (ties by Hipparcos number). Unit vectors are ICRS at epoch
 * J2000; `motion*` is per Julian year and zero where the catalogue knows none.
 */
export interface StarTable {
  count: number;
  /** Hipparcos number; 1,000,000 + Henry Draper number for the few stars that Hipparcos lacks. */
  hip: Uint32Array;
  /** Visual magnitude in hundredths, so that every comparison is exact. */
  magnitudeCenti: Int16Array;
  /** B-V in thousandths; NO_COLOUR where unknown. */
  colourMilli: Int16Array;
  x: Float64Array;
  y: Float64Array;
  z: Float64Array;
  /** Rows with known proper motion, ascending, and their space motion as d(unit vector)/d(year), 3 numbers each. */
  movingRows: Uint32Array;
  motion: Float64Array;
}
export const NO_COLOUR = -32768;

export interface StarName {
  /** Proper name, e.g. "Vega", or "". */
  proper: string;
  /** e.g. "α", "γ²" or "". */
  bayer: string;
  /** e.g. "61" or "". */
  flamsteed: string;
  /** IAU abbreviation, e.g. "Lyr". */
  constellation: string;
}

/** A constellation's stick figure as chains of Hipparcos numbers. */
export interface Figure {
  abbreviation: string;
  name: string;
  /** As in "Alpha Lyrae". */
  genitive?: string;
  lines: number[][];
}

/** Milky Way brightness over the sky on an even grid, row 0 at declination +90, column 0 at RA 0. Galactic or equatorial: equatorial J2000. */
export interface MilkyWayMap {
  width: number;
  height: number;
  /** 0 none to 255 brightest. */
  level: Uint8Array;
}

export interface Catalog {
  stars: StarTable;
  names: Map<number, StarName>;
  figures: Figure[];
  /** Every star that some figure needs. */
  figureStars: Set<number>;
  milkyWay: MilkyWayMap;
  /** Magnitude of the faintest star held: 8.0 for the compact set. Hipparcos itself is complete to about V 7.3. */
  faintest: number;
}

export type BodyName = "moon" | "mercury" | "venus" | "mars" | "jupiter" | "saturn";

/** The Sun, the Moon or a planet as seen from the place (topocentric, apparent); altitude without refraction. */
export interface Body {
  name: BodyName | "sun";
  altitudeDeg: number;
  azimuthDeg: number;
  /** Apparent RA and declination, true equator and equinox of date, topocentric. */
  raDeg: number;
  decDeg: number;
  magnitude: number;
  /** Lit share of the disc, 0 to 1; 1 for the Sun. */
  lit: number;
  distanceAu: number;
}

/** A moment, resolved. */
export interface Instant {
  /** e.g. 2031-02-14T20:00:00Z */
  utcIso: string;
  /** Civil time as the clock showed it, with its offset: 2031-02-14T21:00:00+01:00 */
  localIso: string;
  offsetMin: number;
  zone: string;
  /** Julian date in UT (UTC taken as UT1) and in TT. */
  jdUt: number;
  jdTt: number;
}

/**
 * The frame of one moment at one place: everything that the pass over the stars needs.
 * Horizontal frame: x north, y east, z zenith; azimuth = atan2(y, x), from north through east.
 */
export interface SkyFrame {
  instant: Instant;
  place: Place;
  /** Row-major 3x3: ICRS J2000 unit vector (aberrated) -> horizontal frame; bias, precession, nutation, rotation. */
  matrix: Float64Array;
  /** Earth's velocity in units of c, ICRS axes (annual and diurnal aberration). */
  velocity: [number, number, number];
  /** Julian years since J2000 (TT), for proper motion. */
  years: number;
  refraction: boolean;
  extinction: boolean;
  sun: Body;
  /** Moon and naked-eye planets, whether up or not. */
  bodies: Body[];
}

/** How the sky lies on the ceiling: everything needed to go from a direction to the plan and back. */
export interface Projection {
  /** Row-major 3x3: horizontal frame -> view frame (view centre at +z), the smallest rotation. */
  toView: Float64Array;
  bearingDeg: number;
  turnDeg: number;
  anchorMm: [number, number];
  radiusMm: number;
  halfAngleDeg: number;
}

/** Objects that land inside a box on the plan, brightest first (bodies and stars together). Positions are whole micrometres. */
export interface ProjectedSky {
  count: number;
  /** Hipparcos number, or 0 for a body. */
  hip: Uint32Array;
  /** Row in the star table, or -1 - index into frame.bodies. */
  row: Int32Array;
  xUm: Int32Array;
  yUm: Int32Array;
  /** Magnitude in thousandths as it enters the pattern (after extinction, if on). */
  magnitudeMilli: Int32Array;
}
