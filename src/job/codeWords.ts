import { COMMON_PRACTICE } from "../trade/fact.ts";
import type { Job } from "./schema.ts";

/** How the codes of a job are written for people: the file holds codes, and words stand here. */
export const ENGINE_PLACE_WORDS = {
  cabinet: "cabinet",
  closet: "closet",
  rack: "rack",
  "above-ceiling": "hard-wired above the ceiling",
} as const satisfies Record<Job["bundles"]["engines"][number]["place"], string>;

export const PILE_WORDS = {
  up: "up the plan",
  across: "across the plan",
} as const satisfies Record<Job["takeoff"]["fabric"]["pile"], string>;

/** Where the rates of work come from: "" are ours. */
export const ratesSourceWords = (source: string): string => source || COMMON_PRACTICE;

/** How long an offer stands: "30 days", or what the firm wrote. */
export const validityWords = (validity: number | string): string =>
  typeof validity === "string" ? validity : validity === 1 ? "1 day" : `${validity} days`;

/** What was typed or written for it: "30" and "30 days" are a number of days, all else are words. */
export function readValidity(text: string): number | string {
  const days = /^(\d{1,4})(?: days?)?$/.exec(text.trim());
  return days ? Number(days[1]) : text.trim();
}
