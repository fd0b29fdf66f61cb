// astronomia 4.2 carries no types; these are the parts we call. Angles in radians, times as Julian days.
declare module "astronomia/nutation" {
  /** IAU 1980 nutation [in longitude, in obliquity]. */
  export function nutation(jdTt: number): [number, number];
}
declare module "astronomia/apparent" {
  /** Annual aberration [in right ascension, in declination], J2000 axes. */
  export function aberrationRonVondrak(ra: number, dec: number, jdTt: number): [number, number];
}
declare module "astronomia/deltat" {
  /** TT - UT in seconds. */
  export function deltaT(decimalYear: number): number;
}
declare module "astronomia/moonposition" {
  /** Geocentric Moon, mean ecliptic and equinox of date, light time included; range in km. */
  export function position(jdTt: number): { lon: number; lat: number; range: number };
}
declare module "astronomia/illum" {
  type Magnitude = (sunAu: number, earthAu: number, phaseAngle: number) => number;
  export const mercury84: Magnitude;
  export const venus84: Magnitude;
  export const mars84: Magnitude;
  export const jupiter84: Magnitude;
  export function saturn84(sunAu: number, earthAu: number, ringTilt: number, ringTurn: number): number;
}
declare module "astronomia/data/*" {
  const series: Record<"L" | "B" | "R", Record<string, [number, number, number][]>>;
  export default series;
}
