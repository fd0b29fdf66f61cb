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
      words: wordsOf(decision, job),
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

function wordsOf(decision: ByHand, { units, sky }: Job): string {
  if (decision.do === "omit") return decision.why ? `left out: ${decision.why}` : "left out";
  if (decision.do === "pin") {
    const [dx, dy] = decision.offsetMm ?? [0, 0];
    const far = formatLength(Math.sqrt(dx * dx + dy * dy), units);
    const how = decision.offsetMm ? `pinned ${far} from its place` : "pinned to a place on the plan";
    const night = sky.options.find(({ id }) => id === decision.night);
    return `${how} in the night “${night?.title || decision.night}”`;
  }
  const [x, y] = decision.atMm.map((mm) => formatLength(mm, units));
  const place = `${x} from the left, ${y} from the bottom`;
  return `added ${place}${decision.diameterMm === undefined ? "" : `, ${decision.diameterMm} mm`}`;
}

const plainName = (decision: ByHand): string =>
  decision.do === "add" ? decision.name || "Hole of your own" : starName(decision.what);
