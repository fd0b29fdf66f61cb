import { regionOfZone } from "./region.ts";

/**
 * How dates and clocks are written for people, everywhere the same: as the place's region does, by Intl. The United States
 * have the month first and a clock of twelve hours; everywhere else the day comes first and the clock has 24 hours.
 */
export const localeOf = (zone: string): "en-US" | "en-GB" =>
  regionOfZone(zone) === "us" ? "en-US" : "en-GB";

const FORMS = {
  date: { year: "numeric", month: "long", day: "numeric" },
  clock: { hour: "2-digit", minute: "2-digit" },
  day: { year: "numeric", month: "short", day: "numeric" },
} as const satisfies Record<string, Intl.DateTimeFormatOptions>;

const formats = new Map<string, Intl.DateTimeFormat>();

/** `epochMs` as the clock of `timeZone` shows it; "UTC" for a local time that was put as if it were UTC. */
function written(form: keyof typeof FORMS, locale: string, epochMs: number, timeZone?: string): string {
  const key = `${form} ${locale} ${timeZone}`;
  let format = formats.get(key);
  if (!format) {
    const hour12 = form === "clock" && locale === "en-US";
    format = new Intl.DateTimeFormat(locale, {
      ...FORMS[form],
      ...(hour12 ? { hour: "numeric" } : {}),
      timeZone,
    });
    formats.set(key, format);
  }
  // releases of Intl differ in which blank stands before AM and PM
  return format.format(epochMs).replace(/\s/gu, " ");
}

/** "2029-09-08T22:15:00-03:00", its offset left aside, in milliseconds as if it were UTC. */
function msOf(localIso: string): number {
  const [year = 0, month = 1, day = 1, hour = 0, minute = 0] = localIso
    .slice(0, 16)
    .split(/[-T: ]/)
    .map(Number);
  return Date.UTC(year, month - 1, day, hour, minute);
}

/** "8 September 2029" of "2029-09-08T22:15:00-03:00"; "September 8, 2029" in the United States. */
export const dateWords = (localIso: string, zone: string): string =>
  written("date", localeOf(zone), msOf(localIso), "UTC");

/** A date that somebody typed, in the style of the job where it is one of ISO 8601 ("2029-05-21"); else as it was typed. */
export const typedDate = (text: string, zone: string): string =>
  /^\d{4}-\d{2}-\d{2}$/.test(text.trim()) ? dateWords(text.trim(), zone) : text;

/** "22:15", or "10:15 PM" in the United States. */
export const clockWords = (localIso: string, zone: string): string =>
  written("clock", localeOf(zone), msOf(localIso), "UTC");

/** Which pass is meant of an hour that the clock showed twice; "" of any other. */
export type Pass = "" | "first" | "second";

/** "01:30", or "01:30 (second time)" of an hour that came twice. */
export const clockAndPass = (localIso: string, zone: string, pass: Pass): string =>
  clockWords(localIso, zone) + (pass === "" ? "" : ` (${pass} time)`);

/** "8 September 2029, 22:15". */
export const dateAndClock = (localIso: string, zone: string, pass: Pass = ""): string =>
  `${dateWords(localIso, zone)}, ${clockAndPass(localIso, zone, pass)}`;

/** A moment of this machine's own clock, in the style of the job: "22:15". */
export const clockHere = (epochMs: number, zone: string): string => written("clock", localeOf(zone), epochMs);

/** "8 Sept 2029, 22:15" by this machine's own clock, in the style of the job. */
export const dayHere = (epochMs: number, zone: string): string =>
  `${written("day", localeOf(zone), epochMs)}, ${clockHere(epochMs, zone)}`;

/** "UTC−03:00" of minutes east of UTC. */
export function offsetWords(offsetMin: number): string {
  const minutes = Math.round(Math.abs(offsetMin));
  const two = (n: number): string => String(n).padStart(2, "0");
  return `UTC${offsetMin < 0 ? "\u2212" : "+"}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}
