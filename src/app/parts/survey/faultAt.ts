import { studio } from "../../state/studio.svelte.ts";

/** What is wrong at a place of the job, in words; "" when nothing is. */
export function faultAt(path: string): string {
  const fault = [...(studio.survey?.faults ?? []), ...studio.planFaults].find((f) => within(f.path, path));
  return fault ? `Expected ${fault.expected}, found ${fault.got}. ${fault.next}` : "";
}

/** What to know about a place of the job though it is no fault. */
export function warningsAt(path: string): string[] {
  return (studio.survey?.warnings ?? []).filter((w) => within(w.path ?? "", path)).map((w) => w.message);
}

function within(path: string, place: string): boolean {
  return path === place || path.startsWith(`${place}.`) || path.startsWith(`${place}[`);
}
