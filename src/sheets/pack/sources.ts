import type { Job } from "../../job/schema.ts";
import { valueWords } from "../../job/factWords.ts";
import type { Fact } from "../../trade/fact.ts";
import { SUBJECTS } from "../../trade/facts.ts";
import type { PackDocument } from "./document.ts";

/** The numbers of this job that began as a fact of the trade, each beside that fact and its source. */
export function sourcesSection(doc: PackDocument): void {
  doc.section("Where the numbers come from");
  doc.write(
    "The pages before this use the numbers of the job. Each began as what the trade knows; where it was changed for this job, the job's number counts.",
    2.8,
  );
  for (const { title, facts } of SUBJECTS) {
    const rows = Object.values<Fact>(facts).flatMap((fact) => rowOf(doc.context.plan.job, fact));
    if (rows.length === 0) continue;
    doc.heading(title);
    doc.table(
      [
        { title: "what", share: 5 },
        { title: "in this job", share: 1.8, bold: true },
        { title: "began as", share: 3 },
        { title: "source", share: 4.4 },
      ],
      rows,
      {},
    );
  }
}

function rowOf(job: Job, fact: Fact): string[][] {
  if (fact.key === undefined) return [];
  const values = [...new Set(valuesAt(job, fact.key.replaceAll("[]", ".[]").split(".")))];
  if (values.length === 0) return [];
  const inJob = values
    .map((value) => valueWords({ key: fact.key, value, unit: fact.unit }, job.units))
    .join(", ");
  return [[fact.what, inJob, valueWords(fact, job.units), fact.source]];
}

/** Every number at a key of the job; `[]` walks over a list. */
function valuesAt(value: unknown, [step, ...rest]: string[]): number[] {
  if (step === undefined) return typeof value === "number" ? [value] : [];
  if (step === "[]") return (value as unknown[]).flatMap((entry) => valuesAt(entry, rest));
  return valuesAt((value as Record<string, unknown>)[step], rest);
}
