import { dateWords, clockWords } from "../job/writtenTime.ts";
import { SUN_LEVELS_DEG } from "../sky/darkness.ts";
import { instantOnClock } from "../sky/time.ts";
import type { Instant } from "../sky/types.ts";
import { altitudeOf, wishName } from "./wished.ts";
import type { Cast } from "./cast.ts";
import type { Search } from "./weigh.ts";
import { listed } from "./words.ts";

/** A figure or body counts as there for the eye from this altitude of its lowest part. */
export const CLEARLY_UP_DEG = 8;
/** Dates tried on either side when a wish can't be met. */
const DAYS_TRIED = 190;
const HOURS_APART = 1 / 24;

/** How one wish stands over the times tried: when it is highest. */
interface Standing {
  one: Cast["wished"][number];
  highestDeg: number;
  at: number;
}

function standings(search: Search, wished: Cast["wished"], times: readonly number[]): Standing[] {
  const best = wished.map((one): Standing => ({ one, highestDeg: -90, at: times[0]! }));
  for (const jd of times) {
    const frame = search.frameOf(jd);
    for (const standing of best) {
      const altitude = altitudeOf(standing.one, frame, search.catalog);
      if (altitude <= standing.highestDeg) continue;
      standing.highestDeg = altitude;
      standing.at = jd;
    }
  }
  return best;
}

/** Why wishes fail in the window, one sentence each. */
export function whyNotMet(
  search: Search,
  wished: Cast["wished"],
  times: readonly number[],
  like: Instant,
): string[] {
  return standings(search, wished, times).map(({ one, highestDeg, at }) => {
    const name = wishName(one);
    const clock = clockWords(instantOnClock(like, at).localIso, like.zone);
    const part = one.kind === "figure" ? "its lowest star" : "it";
    const height = `${Math.round(highestDeg)}°`;
    if (highestDeg <= 0)
      return one.kind === "figure"
        ? `${name} is never wholly up between these hours: at best, at ${clock}, ${part} is at ${height}.`
        : `${name} is below the horizon at all these hours: highest at ${clock}, at ${height}.`;
    if (highestDeg < CLEARLY_UP_DEG)
      return `${name} barely rises: highest at ${clock}, when ${part} is at ${height}.`;
    return `${name} is up (highest at ${clock}, ${part} at ${height}), but no view and turn that were tried bring all of it to where holes may lie.`;
  });
}

/**
 * The nearest date, before or after, on which every wished figure and body is clearly up together in the
 * dark between the same hours; null when none within 190 days is.
 */
export function nearestDate(search: Search, times: readonly number[], like: Instant): string | null {
  const { wished } = search.cast;
  if (wished.length === 0 || times.length === 0) return null;
  const first = times[0]!;
  const last = times[times.length - 1]!;
  const sunBelow = search.wish.dark === false ? SUN_LEVELS_DEG.civil : SUN_LEVELS_DEG.astronomical;
  for (let days = 1; days <= DAYS_TRIED; days++) {
    for (const sign of [1, -1]) {
      for (let jd = first; jd <= last + 1e-9; jd += HOURS_APART) {
        const frame = search.frameOf(jd + sign * days);
        if (frame.sun.altitudeDeg >= sunBelow) continue;
        if (wished.some((one) => altitudeOf(one, frame, search.catalog) < CLEARLY_UP_DEG)) continue;
        const when = instantOnClock(like, jd + sign * days).localIso;
        const who = listed(wished.map(wishName));
        const verb = wished.length > 1 ? "are up together" : "is wholly up";
        return `${who} ${verb} in the dark on ${dateWords(when, like.zone)} at about ${clockWords(when, like.zone)}, ${days} days ${sign > 0 ? "later" : "earlier"}.`;
      }
    }
  }
  return null;
}
