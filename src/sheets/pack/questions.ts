import type { Bundles } from "../../bundles/types.ts";
import { holdsOf } from "../../ceiling/holds.ts";
import { wordedIn, type Warning } from "../../job/faults.ts";
import { stopQuestions } from "../../job/stops.ts";
import type { Takeoff } from "../../takeoff/types.ts";
import type { PackDocument } from "./document.ts";

/** Told above them by name, so not once more among the rest. */
const TOLD_AS_HOLD = new Set(["no-go-not-agreed", "no-go-refused"]);
/** Of one kind of remark this many are told in full; the rest by where they are. */
const TOLD_IN_FULL = 2;

/** What stops the work first, then what is over a limit or not known: settled by people before it starts. */
export function questionsBlock(doc: PackDocument, bundles: Bundles, takeoff: Takeoff): void {
  const { plan } = doc.context;
  const faults = [...wordedIn(plan.job.units, bundles.faults), ...takeoff.faults];
  const warnings = wordedIn(plan.job.units, [
    ...plan.warnings,
    ...bundles.warnings,
    ...takeoff.warnings,
  ]).filter(({ code }) => !TOLD_AS_HOLD.has(code));
  const stops = stopQuestions(plan.job);
  const holds = holdsOf(plan.ceiling);
  doc.heading("Open questions");
  for (const { words } of stops) doc.tick(`STOP until settled. ${words}`, 2.9, { bold: true });
  for (const { name, tiles, why } of holds)
    doc.tick(`HOLD ${tiles.join(", ")}. ${name}: ${why}. Nothing is punched there before.`, 2.9, {
      bold: true,
    });
  for (const { expected, got, next } of faults)
    doc.tick(`${got[0]!.toUpperCase()}${got.slice(1)}; expected ${expected}. ${next}`);
  for (const words of grouped(warnings)) doc.tick(words);
  if (stops.length + holds.length + faults.length + warnings.length === 0)
    doc.write("None that the plan could see. It sees only what the survey tells.");
}

/** Remarks of one kind together, the commonest kinds last: they are about many small things. */
function grouped(warnings: readonly Warning[]): string[] {
  const byCode = new Map<string, string[]>();
  for (const { code, message } of warnings) byCode.set(code, [...(byCode.get(code) ?? []), message]);
  return [...byCode.values()]
    .sort((a, b) => a.length - b.length)
    .flatMap((messages) => {
      const rest = messages.length - TOLD_IN_FULL;
      return rest < 2
        ? messages
        : [
            ...messages.slice(0, TOLD_IN_FULL - 1),
            `${messages[TOLD_IN_FULL - 1]} And ${rest} more of this kind.`,
          ];
    });
}
