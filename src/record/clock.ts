import type { Entry } from "./entry.ts";

/** A clock is off where it shows a day before any record could be, or more than a day that has not come yet. */
const FIRST_DAY_MS = Date.UTC(2020, 0, 1);
const DAY_MS = 24 * 3600 * 1000;

/** Entries told by a clock that is days off. They count like all others; their times are left out of rates and lists. */
export const clockIsOff = ({ atMs }: Pick<Entry, "atMs">, nowMs: number): boolean =>
  atMs < FIRST_DAY_MS || atMs > nowMs + DAY_MS;

/** By device, how many entries carry a time that can't be, in words for whoever takes them over; "" for none. */
export function clockWords(entries: readonly Entry[], nowMs: number): string {
  const off = new Map<string, number>();
  for (const entry of entries)
    if (clockIsOff(entry, nowMs)) off.set(entry.device, (off.get(entry.device) ?? 0) + 1);
  const devices = [...off].map(
    ([device, count]) => `${device || "a device without a name"} (${count} entries)`,
  );
  return devices.length === 0 ? "" : `The clock was wrong on ${devices.join(", ")}. What they did counts; when they did it is not known. Set the clock there.`; // prettier-ignore
}
