/** How a sky object fared while settling. */
export const Fate = {
  untouched: 0,
  placed: 1,
  merged: 2,
  noSpot: 3,
  tileFull: 4,
  omitted: 5,
  air: 6,
  issued: 7,
} as const;
export type Fate = (typeof Fate)[keyof typeof Fate];
