/** Least and most that a number of the job may be. */
export interface Limit {
  min: number;
  max: number;
  /** Whole numbers only. */
  whole?: true;
  /** `min` itself is refused: only what is above it. */
  above?: true;
}

/** The largest room side taken, in millimetres: keeps exact arithmetic exact (see geometry/types.ts). */
export const MAX_LENGTH_MM = 60_000;

/**
 * Every bound of a number in the job, once: the schema, the commands of the studio and its fields read it here.
 * Named for the key where one key has it, and for what is measured where several share it.
 */
export const LIMITS = {
  lengthMm: { min: -MAX_LENGTH_MM, max: MAX_LENGTH_MM },
  sizeMm: { min: 0, max: MAX_LENGTH_MM, above: true },
  distanceMm: { min: 0, max: MAX_LENGTH_MM },
  turnDeg: { min: -360, max: 360 },
  share: { min: 0, max: 1 },

  declinationDeg: { min: -180, max: 180 },
  builtYear: { min: 1000, max: 2200, whole: true },

  offsetMin: { min: -960, max: 960 },
  latDeg: { min: -90, max: 90 },
  lonDeg: { min: -180, max: 180 },
  elevationM: { min: -500, max: 9000 },
  altitudeDeg: { min: -90, max: 90 },
  halfAngleDeg: { min: 1, max: 170 },

  revision: { min: 1, max: 9999, whole: true },
  /** Rows and columns of tiles. */
  tileRow: { min: 0, max: 10_000, whole: true },

  diameterMm: { min: 0.1, max: 10 },
  stockCount: { min: 0, max: 200_000, whole: true },
  strandsUsed: { min: 1, max: 200_000, whole: true },
  strandsPerHole: { min: 1, max: 7, whole: true },
  holeMm: { min: 0.5, max: 30 },
  lightExponent: { min: 0.05, max: 1 },
  lossDbPerM: { min: 0, max: 5 },
  numericalAperture: { min: 0.1, max: 0.9 },
  seed: { min: 0, max: 2 ** 31 - 1, whole: true },
  starNumber: { min: 1, max: 9_999_999, whole: true },
  spacingMm: { min: 2, max: 200 },
  airMm: { min: 0, max: 300 },
  faintestMagnitude: { min: -2, max: 15 },

  fieldDeg: { min: 10, max: 140 },
  sceneChannels: { min: 1, max: 24, whole: true },
  turnS: { min: 1, max: 600 },
  barMm: { min: 120, max: 180 },

  metres: { min: 0, max: 100 },
  strandM: { min: 0, max: 100, above: true },
  engineStrands: { min: 1, max: 20_000, whole: true },
  watts: { min: 0, max: 5000 },
  kitCount: { min: 0, max: 20_000, whole: true },
  bendFactor: { min: 5, max: 100 },
  portFill: { min: 0.1, max: 0.9 },
  supportEveryM: { min: 0, max: 10, above: true },
  channels: { min: 2, max: 24, whole: true },
  timeLimitS: { min: 0.1, max: 600 },
  labelShiftMm: { min: -20, max: 20 },
  labelsUsed: { min: 0, max: 200, whole: true },

  picturePx: { min: 1, max: 20_000, whole: true },
  pictureAtMm: { min: -1e6, max: 1e6 },
  mmPerPx: { min: 0.001, max: 1000 },
  opacity: { min: 0.05, max: 1 },

  kgPerM2: { min: 0, max: 100 },
  money: { min: 0, max: 1e9 },
  rate: { min: 0, max: 10_000 },
  percent: { min: 0, max: 100 },
  offerDays: { min: 0, max: 9999, whole: true },
  spareBlanks: { min: 0, max: 100, whole: true },
  sprayM2PerCan: { min: 0, max: 100, above: true },
  strandsPerGlueStick: { min: 0, max: 10_000, above: true },
  spareStrands: { min: 0, max: 50, whole: true },
} as const satisfies Record<string, Limit>;

/** Longest picture that a job carries, as text: half a megabyte of picture, so that the file stays one to send by post. */
export const LONGEST_PICTURE = 700_000;
