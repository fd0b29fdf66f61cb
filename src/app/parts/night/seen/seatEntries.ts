import type { SeatEntry } from "../../../../job/sections/scene.ts";
import type { Seat } from "../../../../scene/camera.ts";

/** Seats as the job keeps them. */
export function seatEntries(seats: readonly Seat[]): SeatEntry[] {
  return seats.map(({ name, atMm, eyeMm, lookAtMm, fieldDeg }) => ({
    name,
    atMm,
    eyeMm,
    lookAtMm,
    fieldDeg,
  }));
}
