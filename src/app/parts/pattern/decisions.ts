import type { Job } from "../../../job/schema.ts";
import type { ByHand } from "../../../job/sections/pattern.ts";
import { formatLength } from "../../../job/units.ts";
import type { Plan } from "../../../plan.ts";
import { keyAt, keyOfStar, starName, type SubjectKey, subjectOf } from "./subject.ts";

/** One line of the list of what a person decided. */
export interface DecisionRow {
  index: number;
  key: SubjectKey;
  name: string;
  words: string;
  /** Why it no longer fits, by the newest plan; "" when it does, or when no plan knows it yet. */
  fault: string;
}

export function decisionRows(job: Job, plan: Plan | null, planOf: Job | null): DecisionRow[] {
  return job.pattern.byHand.map((decision, index) => {
    const key = decision.do === "add" ? keyAt(decision.atMm) : keyOfStar(decision.what);
    const name = subjectOf(key, job, plan?.pattern ?? null)?.name ?? plainName(decision);
    return {
      index,
      key,
      name,
      words: wordsOf(decision, job.units),
      fault: faultOf(decision, index, plan, planOf),
    };
  });
}

/** A report holds only as long as the plan's decision is the one in the job. */
function faultOf(decision: ByHand, index: number, plan: Plan | null, planOf: Job | null): string {
  const planned = planOf?.pattern.byHand[index];
  if (!plan || JSON.stringify(planned) !== JSON.stringify(decision)) return "";
  const report = plan.pattern.byHand[index];
  return report && !report.kept ? report.why : "";
}

function wordsOf(decision: ByHand, units: Job["units"]): string {
  if (decision.do === "omit") return decision.why ? `left out: ${decision.why}` : "left out";
  const [x, y] = decision.atMm.map((mm) => formatLength(mm, units));
  const place = `${x} from the left, ${y} from the bottom`;
  if (decision.do === "pin") return `pinned ${place}`;
  return `added ${place}${decision.diameterMm === undefined ? "" : `, ${decision.diameterMm} mm`}`;
}

const plainName = (decision: ByHand): string =>
  decision.do === "add" ? decision.name || "Hole of your own" : starName(decision.what);
