import { studio } from "../../state/studio.svelte.ts";

/** What is wrong at a place of the job and below it, in words. */
export function faultsAt(path: string): string[] {
  return [...(studio.survey?.faults ?? []), ...studio.planFaults]
    .filter((fault) => within(fault.path, path))
    .map((fault) => `Expected ${fault.expected}, found ${fault.got}. ${fault.next}`);
}

/** What to know about a place of the job though it is no fault. */
export function warningsAt(path: string): string[] {
  return (studio.survey?.warnings ?? []).filter((w) => within(w.path ?? "", path)).map((w) => w.message);
}

function within(path: string, place: string): boolean {
  return path === place || path.startsWith(`${place}.`) || path.startsWith(`${place}[`);
}
