import { localeOf } from "./writtenTime.ts";

// The other way round from writtenTime.ts: what a person typed, in the style of the place's region or in ISO 8601.

const MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/** "2029-09-08" of "8 September 2029", "Sept 8, 2029", "08/09/2029" (9/8 in the United States) or ISO 8601; null if it is no day. */
export function readDate(text: string, zone: string): string | null {
  const iso = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(text.trim());
  if (iso) return dayOf(Number(iso[1]), Number(iso[2]), Number(iso[3]));
  const parts = text.trim().toLowerCase().split(/[\s,./-]+/).filter(Boolean); // prettier-ignore
  if (parts.length !== 3 || !/^\d{4}$/.test(parts[2]!)) return null;
  const year = Number(parts[2]);
  const named = parts.findIndex((part, i) => i < 2 && /^[a-z]{3,9}$/.test(part));
  if (named >= 0) {
    const month = MONTHS.findIndex((month) => parts[named]!.startsWith(month));
    return dayOf(year, month + 1, dayNumber(parts[1 - named]!));
  }
  const [first, second] = [dayNumber(parts[0]!), dayNumber(parts[1]!)];
  return localeOf(zone) === "en-US" ? dayOf(year, first, second) : dayOf(year, second, first);
}

/** "22:15" of "22:15", "22.15", "2215", "10:15 PM" or "10 pm"; null if no clock shows it. */
export function readClock(text: string): string | null {
  const found = /^(\d{1,2})(?:[:.h]?(\d{2}))?\s*(?:([ap])\.?\s?m\.?)?$/i.exec(text.trim());
  if (!found) return null;
  const [, hours = "", minutes, half] = found;
  if (minutes === undefined && half === undefined) return null;
  const hour = Number(hours);
  if (Number(minutes ?? 0) > 59 || hour > 23 || (half && (hour < 1 || hour > 12))) return null;
  const of24 = half ? (hour % 12) + (half.toLowerCase() === "p" ? 12 : 0) : hour;
  return `${String(of24).padStart(2, "0")}:${minutes ?? "00"}`;
}

const dayNumber = (text: string): number => (/^\d{1,2}(st|nd|rd|th)?$/.test(text) ? parseInt(text, 10) : 0);

/** Only days that are in the calendar. */
function dayOf(year: number, month: number, day: number): string | null {
  const ms = Date.UTC(year, month - 1, day);
  const at = new Date(ms);
  const real = month >= 1 && day >= 1 && at.getUTCMonth() === month - 1 && at.getUTCDate() === day;
  return real && year >= 1000 ? at.toISOString().slice(0, 10) : null;
}
