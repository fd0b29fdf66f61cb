import type { Night } from "../../../job/sections/sky.ts";
import { dateOf } from "../../../choose/words.ts";

/** "the Moon" at the head of a row, "Jupiter". */
export function bodyName(name: string): string {
  return name.charAt(0).toUpperCase() + name.slice(1);
}

/** "8 September 2029, 22:00". */
export function momentWords({ moment }: Pick<Night, "moment">): string {
  const text = "local" in moment ? String(moment.local) : String(moment.utc);
  return `${dateOf(text)}, ${text.slice(11, 16)}${"local" in moment ? "" : " UTC"}`;
}
