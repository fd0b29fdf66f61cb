import { magvar, MODEL_EPOCH, MODEL_VALID_UNTIL } from "magvar";
import { CannotDo } from "../job/faults.ts";
import type { Moment, Place } from "../job/sections/sky.ts";
import { frameAt } from "../sky/frame.ts";
import { resolveMoment } from "../sky/time.ts";

/** The World Magnetic Model that is carried: its epoch, and the year it is made for up to. */
export const MAGNETIC_MODEL = {
  name: `WMM${MODEL_EPOCH}`,
  from: MODEL_EPOCH,
  until: MODEL_VALID_UNTIL,
} as const;

/** A shadow is read from here up to here: lower the Sun moves behind haze, higher the shadow is too short to measure. Common practice, no source. */
const SUN_DEG = { least: 5, most: 60 } as const;

/**
 * Magnetic declination in degrees, east positive, at sea level, by the World Magnetic Model. `year` is decimal: 2027.5.
 * Throws CannotDo outside the years the model is made for. Source: NOAA NCEI and BGS, WMM2025.
 */
export function declinationDeg({ latDeg, lonDeg }: Pick<Place, "latDeg" | "lonDeg">, year: number): number {
  const { from, until, name } = MAGNETIC_MODEL;
  if (!(year >= from && year < until))
    throw new CannotDo(
      `${name} holds from ${from} to ${until}, and the reading is of ${Math.floor(year)}.`,
      "Take the declination from a current chart of the place.",
    );
  return magvar(latDeg, lonDeg, 0, year);
}

/**
 * True bearing in which the shadow of a plumb line points on a level floor at a moment, in degrees. Throws JobFaults for a
 * moment that can't be read, CannotDo where the Sun stands too low or too high for a shadow that can be measured.
 */
export function shadowBearingDeg(place: Place, moment: Moment): number {
  const { sun } = frameAt(resolveMoment(moment, "moment"), place, {
    refraction: true,
    extinction: false,
    bodies: false,
  });
  if (sun.altitudeDeg < SUN_DEG.least || sun.altitudeDeg > SUN_DEG.most)
    throw new CannotDo(
      `The Sun stands at ${sun.altitudeDeg.toFixed(0)}° then; a shadow reads well from ${SUN_DEG.least}° to ${SUN_DEG.most}°.`,
      "Choose another hour, earlier or later in the day.",
    );
  return (sun.azimuthDeg + 180) % 360;
}
