import { about } from "../../../job/codes.ts";
import type { Plan } from "../../../plan.ts";

/** The plan's warnings that the pattern can do something about; stars lost are in their own list. */
export function patternRemarks(plan: Plan | null): string[] {
  return about(plan?.warnings, "pattern").map((w) => w.message);
}
