import { deltaT } from "astronomia/deltat";
import { Temporal } from "temporal-polyfill";
import type { Fault, Warning } from "../job/faults.ts";
import { JobFaults } from "../job/faults.ts";
import type { Moment } from "../job/sections/sky.ts";
import type { Instant } from "./types.ts";

export const FIRST_YEAR = 1800;
export const LAST_YEAR = 2200;
/** Zone records are one place's own only from here on: older histories are merged in both engines' data. */
export const ZONES_TRUSTED_FROM = 1970;
export const JD_J2000 = 2451545;
const JD_UNIX_EPOCH = 2440587.5;
const MS_PER_DAY = 86_400_000;
const LOCAL = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d{1,3})?)?$/;
const UTC = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d{1,3})?)?Z$/;

type Civil = Extract<Moment, { local: string }>;

function refuse(path: string, expected: string, got: unknown, next: string): never {
  const fault: Fault = { path, expected, got: JSON.stringify(got)?.slice(0, 80) ?? "nothing", next };
  throw new JobFaults([fault]);
}

/** Julian date of a Unix time in milliseconds. */
export function julianDate(epochMs: number): number {
  return epochMs / MS_PER_DAY + JD_UNIX_EPOCH;
}

/** Unix time in whole milliseconds of a Julian date. */
export function epochMsOf(jd: number): number {
  return Math.round((jd - JD_UNIX_EPOCH) * MS_PER_DAY);
}

/** Julian date in TT of one in UT; TT - UT from USNO's and IERS's tables, then Espenak and Meeus' curves (astronomia). */
export function terrestrialTime(jdUt: number): number {
  return jdUt + deltaT(2000 + (jdUt - JD_J2000) / 365.25) / 86_400;
}

function readDateTime(text: string, pattern: RegExp, shape: string, path: string): Temporal.PlainDateTime {
  if (!pattern.test(text)) refuse(path, `a date and time written ${shape}`, text, "Write it in that form.");
  let read: Temporal.PlainDateTime;
  try {
    read = Temporal.PlainDateTime.from(text.replace("Z", ""), { overflow: "reject" });
  } catch {
    refuse(path, "a date and time that the calendar has", text, "Check the month, day, hour and minute.");
  }
  if (read.year < FIRST_YEAR || read.year > LAST_YEAR) {
    refuse(path, `a year from ${FIRST_YEAR} to ${LAST_YEAR}`, text, "Choose a date in that range.");
  }
  return read;
}

function isoUtc(epochMs: number): string {
  return new Date(epochMs).toISOString().replace(".000Z", "Z");
}

function isoOffset(offsetMin: number): string {
  const seconds = Math.round(Math.abs(offsetMin) * 60);
  const two = (n: number) => String(n).padStart(2, "0");
  const rest = seconds % 60 ? `:${two(seconds % 60)}` : "";
  return `${offsetMin < 0 ? "-" : "+"}${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}${rest}`;
}

/** The instant at a Unix time, with the clock `offsetMin` minutes east of UTC. */
function instantAt(epochMs: number, offsetMin: number, zone: string): Instant {
  const clock = new Date(epochMs + Math.round(offsetMin * 60) * 1000).toISOString();
  const jdUt = julianDate(epochMs);
  return {
    utcIso: isoUtc(epochMs),
    localIso: clock.replace(/(\.000)?Z$/, "") + isoOffset(offsetMin),
    offsetMin,
    zone,
    jdUt,
    jdTt: terrestrialTime(jdUt),
  };
}

/** Minutes the clocks of a zone are east of UTC at a Unix time; null for a name no zone has. */
function zoneOffsetMin(epochMs: number, zone: string): number | null {
  try {
    const zoned = Temporal.Instant.fromEpochMilliseconds(epochMs).toZonedDateTimeISO(zone);
    return zoned.offsetNanoseconds / 6e10;
  } catch {
    return null;
  }
}

/** Another Julian date in UT on the same clock, to the second: the zone's, or the offset given by hand. */
export function instantOnClock(like: Instant, jdUt: number): Instant {
  const epochMs = Math.round(epochMsOf(jdUt) / 1000) * 1000;
  const byZone = zoneOffsetMin(epochMsOf(like.jdUt), like.zone) === like.offsetMin;
  const offsetMin = byZone ? zoneOffsetMin(epochMs, like.zone) : null;
  return instantAt(epochMs, offsetMin ?? like.offsetMin, like.zone);
}

function inZone(local: Temporal.PlainDateTime, civil: Civil, path: string): Temporal.ZonedDateTime {
  let earlier: Temporal.ZonedDateTime;
  try {
    earlier = local.toZonedDateTime(civil.zone, { disambiguation: "earlier" });
  } catch {
    refuse(
      `${path}.zone`,
      "the name of an IANA time zone, such as Europe/Vienna",
      civil.zone,
      "Choose the zone of the place, or give the moment as utc.",
    );
  }
  const later = local.toZonedDateTime(civil.zone, { disambiguation: "later" });
  if (earlier.epochMilliseconds === later.epochMilliseconds) return earlier;
  if (!earlier.toPlainDateTime().equals(local)) {
    refuse(
      `${path}.local`,
      `a time the clocks of ${civil.zone} showed`,
      civil.local,
      gapAdvice(earlier, later),
    );
  }
  if (civil.occurrence === "earlier") return earlier;
  if (civil.occurrence === "later") return later;
  return refuse(
    `${path}.occurrence`,
    `"earlier" or "later", because ${civil.zone} showed ${civil.local} twice`,
    civil.occurrence,
    `Set "earlier" for ${isoUtc(earlier.epochMilliseconds)} (offset ${earlier.offset}) or "later" for ` +
      `${isoUtc(later.epochMilliseconds)} (offset ${later.offset}).`,
  );
}

function gapAdvice(earlier: Temporal.ZonedDateTime, later: Temporal.ZonedDateTime): string {
  const jump = later.getTimeZoneTransition("previous");
  if (!jump) return `Choose ${earlier.toPlainDateTime()} or ${later.toPlainDateTime()} instead.`;
  const gapNs = later.offsetNanoseconds - earlier.offsetNanoseconds;
  const before = jump.toPlainDateTime().subtract({ nanoseconds: Math.abs(gapNs) });
  return `The clocks went from ${before} straight to ${jump.toPlainDateTime()}: choose a time before or after.`;
}

/**
 * The instant of a moment in a job. Civil time is read by the zone's own history, or by `offsetMin` where
 * that is given. `path` is the moment's place in the document, for faults. UTC is taken as UT1.
 * @throws JobFaults for text that is no date, a year outside 1800 to 2200, an unknown zone, a civil time
 * that happened twice (without `occurrence`) or never.
 */
export function resolveMoment(moment: Moment, path = "moment"): Instant {
  if (!("local" in moment)) {
    const utc = readDateTime(moment.utc, UTC, "YYYY-MM-DDTHH:MM:SSZ", `${path}.utc`);
    return instantAt(utc.toZonedDateTime("UTC").epochMilliseconds, 0, "UTC");
  }
  const civil = moment as Civil;
  const local = readDateTime(civil.local, LOCAL, "YYYY-MM-DDTHH:MM, without offset", `${path}.local`);
  if (civil.offsetMin === undefined) {
    const zoned = inZone(local, civil, path);
    return instantAt(zoned.epochMilliseconds, zoned.offsetNanoseconds / 6e10, civil.zone);
  }
  if (!Number.isFinite(civil.offsetMin) || Math.abs(civil.offsetMin) > 960) {
    refuse(`${path}.offsetMin`, "minutes from -960 to 960", civil.offsetMin, "Give minutes east of UTC.");
  }
  const epochMs = local.toZonedDateTime("UTC").epochMilliseconds - Math.round(civil.offsetMin * 60) * 1000;
  return instantAt(epochMs, civil.offsetMin, civil.zone);
}

/** What a person should know about how a moment was read. */
export function momentWarnings(moment: Moment, instant: Instant, path = "moment"): Warning[] {
  if (!("local" in moment)) return [];
  const offset = isoOffset(instant.offsetMin);
  if ((moment as Civil).offsetMin !== undefined) {
    return [
      {
        code: "offset-by-hand",
        message: `The clock's offset was set by hand to ${offset}; the rules of ${instant.zone} were not used.`,
        path: `${path}.offsetMin`,
      },
    ];
  }
  if (Number(instant.localIso.slice(0, 4)) >= ZONES_TRUSTED_FROM) return [];
  return [
    {
      code: "zone-history-merged",
      message:
        `Before ${ZONES_TRUSTED_FROM} the records of time zones are merged and wrong for some towns. ` +
        `${instant.zone} was read as ${offset} at this moment; if the town kept another time, set offsetMin.`,
      path: `${path}.zone`,
    },
  ];
}
