import type { Limit } from "../../../job/limits.ts";
import { Refusal } from "../edit.ts";

/** What a number of the job may be, and how it is called where people read it. */
export interface Bounds {
  words: string;
  min: number;
  max: number;
  /** Kept to this many decimals. */
  decimals: number;
}

/** A bound of the job document with its name; where the least is itself refused, the least decimal above it. */
export function bounds(words: string, { min, max, above, whole }: Limit, decimals = whole ? 0 : 3): Bounds {
  return { words, min: above ? min + 10 ** -decimals : min, max, decimals };
}

/** The number as the job keeps it, or a refusal that names the bounds. */
export function within({ words, min, max, decimals }: Bounds, value: number): number {
  if (!(value >= min && value <= max)) throw new Refusal(`The ${words} goes from ${min} to ${max}.`);
  return Number(value.toFixed(decimals));
}
