import { dateAndClock } from "../../../job/writtenTime.ts";
import type { Night } from "../../../job/sections/sky.ts";
import { passOf } from "../../../choose/words.ts";

/** "the Moon" at the head of a row, "Jupiter". */
export function bodyName(name: string): string {
  return name.charAt(0).toUpperCase() + name.slice(1);
}

/** "8 September 2029, 22:00"; of an hour that came twice also which time. */
export function momentWords({ moment }: Pick<Night, "moment">): string {
  const text = "local" in moment ? String(moment.local) : String(moment.utc);
  const zone = "zone" in moment ? String(moment.zone) : "UTC";
  return `${dateAndClock(text, zone, passOf(moment))}${"local" in moment ? "" : " UTC"}`;
}
