import type { Night } from "../../../../job/sections/sky.ts";
import { darknessWarnings, nightEvents, sunAltitudeDeg } from "../../../../sky/darkness.ts";
import { skyFrame } from "../../../../sky/frame.ts";
import { instantOnClock, momentWarnings } from "../../../../sky/time.ts";
import type { NightHours } from "./api.ts";

/** Steps of the band under the time slider: one in 10 minutes, both noons included. */
export const HOUR_STEPS = 144;

/** The Sun through one night, from noon to noon. Throws JobFaults as `skyFrame` does. */
export function nightHours(night: Night): NightHours {
  const frame = skyFrame({ ...night, bodies: false }, "sky");
  const { instant, place } = frame;
  const noonJd = Math.floor(instant.jdUt + place.lonDeg / 360) - place.lonDeg / 360;
  const sunDeg = Float32Array.from({ length: HOUR_STEPS + 1 }, (_, i) =>
    sunAltitudeDeg(instant, place, noonJd + i / HOUR_STEPS),
  );
  return {
    noonJd,
    noon: instantOnClock(instant, noonJd),
    sunDeg,
    ...nightEvents(frame),
    warnings: [...momentWarnings(night.moment, instant), ...darknessWarnings(frame, "sky.moment")],
  };
}
