import { LIMITS } from "../../../../job/limits.ts";
import { JobFaults } from "../../../../job/faults.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Moment, Night, Place } from "../../../../job/sections/sky.ts";
import { instantOnClock, resolveMoment } from "../../../../sky/time.ts";
import type { Instant } from "../../../../sky/types.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";
import { omit } from "../../../state/omit.ts";
import { chosenNight, withChosen } from "./nights.ts";

/** A moment told by a clock. */
export type Civil = Extract<Moment, { local: string }>;
const MS_PER_MINUTE = 60_000;
/** Far enough from any change of the clocks to be told plainly, near enough to have the same two offsets. */
const BESIDE_MINUTES = 300;

/** What a clock time means in a zone. `path` ends of resolveMoment's faults tell the odd hours. */
export type Reading =
  | { kind: "once"; instant: Instant }
  /** The clocks went back: both readings. */
  | { kind: "twice"; earlier: Instant; later: Instant }
  /** The clocks went forward: what the clock showed, had it been put forward late, or early. `said` names the gap. */
  | { kind: "never"; before: Instant; after: Instant; said: string }
  | { kind: "refused"; said: string };

/** Reads a clock time without changing anything, so that the person can be asked about the odd hours. */
export function readClock(civil: Civil): Reading {
  try {
    return { kind: "once", instant: resolveMoment(civil) };
  } catch (error) {
    if (!(error instanceof JobFaults)) throw error;
    const fault = error.faults[0];
    const said = fault ? `Expected ${fault.expected}. ${fault.next}` : error.message;
    if (fault?.path.endsWith(".occurrence")) {
      return {
        kind: "twice",
        earlier: resolveMoment({ ...civil, occurrence: "earlier" }),
        later: resolveMoment({ ...civil, occurrence: "later" }),
      };
    }
    const beside = fault?.path.endsWith(".local") ? besideGap(civil) : null;
    return beside && fault ? { kind: "never", ...beside, said: fault.next } : { kind: "refused", said };
  }
}

/** The two instants a clock time in a gap may mean: by the offset after the jump, and by the one before it. */
function besideGap(civil: Civil): { before: Instant; after: Instant } | null {
  const offsetAt = (minutes: number): number =>
    resolveMoment({ ...omit(civil, "occurrence"), local: shifted(civil.local, minutes) }).offsetMin;
  try {
    const first = offsetAt(-BESIDE_MINUTES);
    const second = offsetAt(BESIDE_MINUTES);
    if (first === second) return null;
    return {
      before: rezoned(resolveMoment({ ...civil, offsetMin: second }), civil.zone, first),
      after: rezoned(resolveMoment({ ...civil, offsetMin: first }), civil.zone, second),
    };
  } catch (error) {
    if (error instanceof JobFaults) return null;
    throw error;
  }
}

/** A clock text so many minutes on. */
function shifted(local: string, minutes: number): string {
  const ms = Date.parse(`${local.length === 16 ? `${local}:00` : local}Z`) + minutes * MS_PER_MINUTE;
  return new Date(ms).toISOString().slice(0, 19);
}

/** The same instant on the clock of an offset. */
function rezoned(instant: Instant, zone: string, offsetMin: number): Instant {
  return instantOnClock({ ...instant, zone, offsetMin }, instant.jdUt);
}

/** "2029-09-08T22:00" of an instant, by its own clock. */
export function localOf(instant: Instant): string {
  return instant.localIso.slice(0, instant.localIso.slice(16, 19) === ":00" ? 16 : 19);
}

/** The moment of an instant, told as another moment is: by the same zone, offset or in UTC. */
export function momentLike(like: Moment, instant: Instant): Moment {
  if (!("local" in like)) return { ...like, utc: instant.utcIso };
  const civil = like as Civil;
  if (civil.offsetMin !== undefined) {
    const byHand = rezoned(instant, civil.zone, civil.offsetMin);
    return { ...omit(civil, "occurrence"), local: localOf(byHand) };
  }
  const plain: Civil = { ...omit(civil, "occurrence"), local: localOf(instant) };
  const reading = readClock(plain);
  if (reading.kind !== "twice") return plain;
  const first = Math.abs(reading.earlier.jdUt - instant.jdUt) < Math.abs(reading.later.jdUt - instant.jdUt);
  return { ...plain, occurrence: first ? "earlier" : "later" };
}

/** Another clock time, date, zone, occurrence or offset, for which `readClock` has a plain answer. */
export function setClock(job: Job, civil: Civil, name = "Change the time"): Edit {
  const reading = readClock(civil);
  if (reading.kind === "refused" || reading.kind === "never") throw new Refusal(reading.said);
  if (reading.kind === "twice") throw new Refusal("That clock time came twice that night. Say which one.");
  const night = chosenNight(job);
  return { name, job: withChosen(job, { ...night, moment: civil }) };
}

/** An instant put on the night's own clock: scrubbing, or going to an hour of darkness. */
export function setInstant(job: Job, instant: Instant): Edit {
  const night = chosenNight(job);
  const moment = momentLike(night.moment, instant);
  return { name: "Change the time", job: withChosen(job, { ...night, moment }), merge: "time" };
}

/** Another place; with a zone, the clock time is kept and read there. */
export function setPlace(job: Job, place: Place, zone?: string): Edit {
  const { latDeg, lonDeg } = place;
  if (!(Math.abs(latDeg) <= LIMITS.latDeg.max) || !(Math.abs(lonDeg) <= LIMITS.lonDeg.max)) {
    throw new Refusal("Latitude runs from -90 to 90 degrees, longitude from -180 to 180, east positive.");
  }
  const night = chosenNight(job);
  const moved: Night = { ...night, place };
  const name = place.name ? `Go to ${place.name}` : "Change the place";
  return { name, job: withChosen(job, zone === undefined ? moved : inZone(moved, zone)) };
}

/** The same clock time in another zone; an odd hour there is read as the earlier one, a missing one moved past the gap. */
function inZone(night: Night, zone: string): Night {
  const { moment } = night;
  if (!("local" in moment)) return night;
  const civil: Civil = { ...omit(moment as Civil, "occurrence", "offsetMin"), zone };
  const reading = readClock(civil);
  if (reading.kind === "twice") return { ...night, moment: { ...civil, occurrence: "earlier" } };
  if (reading.kind === "never") return { ...night, moment: { ...civil, local: localOf(reading.after) } };
  if (reading.kind === "refused") throw new Refusal(reading.said);
  return { ...night, moment: civil };
}

/** The clock of another zone at the same place; the clock time stays. */
export function setZone(job: Job, zone: string): Edit {
  return { name: "Change the time zone", job: withChosen(job, inZone(chosenNight(job), zone)) };
}

/** The clock's offset by hand, in minutes east of UTC, where the records are wrong; null goes back to them. */
export function setOffset(job: Job, offsetMin: number | null): Edit {
  const night = chosenNight(job);
  if (!("local" in night.moment)) throw new Refusal("A moment given in UTC needs no offset.");
  const civil = omit(night.moment as Civil, "occurrence", "offsetMin");
  if (offsetMin === null) {
    const name = "Use the offset in the records";
    return { name, job: withChosen(job, inZone({ ...night, moment: civil }, civil.zone)) };
  }
  if (!(Math.abs(offsetMin) <= 960)) throw new Refusal("A clock is at most 16 hours from UTC.");
  return {
    name: "Set the offset by hand",
    job: withChosen(job, { ...night, moment: { ...civil, offsetMin } }),
  };
}

/** "-3", "−3:30", "+05:45", "UTC+1": minutes east of UTC, or null when it is none. */
export function readOffset(text: string): number | null {
  const match = /^(?:UTC)?\s*([+\-\u2212]?)(\d{1,2})(?::?([0-5]\d))?$/i.exec(text.trim());
  if (!match) return null;
  const minutes = Number(match[2]) * 60 + Number(match[3] ?? 0);
  return match[1] === "-" || match[1] === "\u2212" ? -minutes : minutes;
}
