import type { Plan } from "../../../plan.ts";

/** The plan's warnings that the pattern can do something about; stars lost are in their own list. */
export function patternRemarks(plan: Plan | null): string[] {
  const codes = new Set(["shortfall", "empty-sky", "needs-deep-catalog"]);
  return (plan?.warnings ?? []).filter((w) => codes.has(w.code)).map((w) => w.message);
}
