import type { Bundles } from "../../bundles/types.ts";
import type { Takeoff } from "../../takeoff/types.ts";
import type { PackDocument } from "./document.ts";

/** What is over a limit or not known: settled by people before the work starts. */
export function questionsBlock(doc: PackDocument, bundles: Bundles, takeoff: Takeoff): void {
  const faults = [...bundles.faults, ...takeoff.faults];
  const warnings = [...doc.context.plan.warnings, ...bundles.warnings, ...takeoff.warnings];
  doc.heading("Open questions");
  if (faults.length === 0 && warnings.length === 0) {
    doc.write("None that the plan could see. It sees only what the survey tells.");
    return;
  }
  for (const { path, expected, got, next } of faults) {
    doc.tick(`${got}; expected ${expected}. ${next} (${path})`);
  }
  for (const { message } of warnings) doc.tick(message);
}
