import { ceilingHeightMm } from "../../../../job/assumed.ts";
import type { Job } from "../../../../job/schema.ts";
import type { SeatEntry } from "../../../../job/sections/scene.ts";
import type { PointMm } from "../../../../geometry/types.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";

/** Kept free above the eye, as the picture needs it (scene/scene.ts). */
const BELOW_CEILING_MM = 50;
const MOST_SEATS = 40;

/** The job with a place to look from, from the list of places it starts with when it holds none of its own. */
export function setSeat(
  job: Job,
  seats: readonly SeatEntry[],
  index: number,
  change: Partial<SeatEntry>,
): Edit {
  const seat = seats[index];
  if (seat === undefined) throw new Refusal("That seat is no longer in the job.");
  const changed = { ...seat, ...change };
  if (!(changed.eyeMm > 0 && changed.eyeMm < ceilingHeightMm(job.ceiling) - BELOW_CEILING_MM))
    throw new Refusal("The eye has to be below the ceiling.");
  const tidied = { ...changed, atMm: whole(changed.atMm) };
  return {
    name: `Move ${seat.name || "the seat"}`,
    job: withSeats(job, seats.with(index, tidied)),
    merge: `seat ${index}`,
  };
}

export function addSeat(job: Job, seats: readonly SeatEntry[], atMm: PointMm): Edit {
  if (seats.length >= MOST_SEATS) throw new Refusal(`A job holds ${MOST_SEATS} seats.`);
  const seat: SeatEntry = { name: `seat ${seats.length + 1}`, atMm: whole(atMm), eyeMm: 1200, fieldDeg: 90 };
  return { name: "Add a seat", job: withSeats(job, [...seats, seat]) };
}

export function removeSeat(job: Job, seats: readonly SeatEntry[], index: number): Edit {
  return {
    name: `Remove ${seats[index]?.name || "the seat"}`,
    job: withSeats(job, seats.toSpliced(index, 1)),
  };
}

type Look = Pick<Job["scene"], "dimmer" | "tint" | "ends">;

/** How the strands shine: dimmer 0 to 1, tint, cut of the ends. */
export function setLook<K extends keyof Look>(job: Job, key: K, value: Look[K]): Edit {
  const words = {
    dimmer: "Dim the lights",
    tint: "Tint the stars",
    ends: "Change how ends are cut",
  } as const;
  return { name: words[key], job: { ...job, scene: { ...job.scene, [key]: value } }, merge: `look ${key}` };
}

/** Part of the strands that twinkle, 0 to 1. */
export function setTwinkle(job: Job, share: number): Edit {
  if (!(share >= 0 && share <= 1)) throw new Refusal("From none of the strands to all of them.");
  const twinkle = { ...job.scene.twinkle, share };
  return { name: "Change the twinkle", job: { ...job, scene: { ...job.scene, twinkle } }, merge: "twinkle" };
}

const whole = ([x, y]: PointMm): PointMm => [Math.round(x), Math.round(y)];

function withSeats(job: Job, seats: SeatEntry[]): Job {
  return { ...job, scene: { ...job.scene, seats } };
}
