import { fromWallsWords } from "../../../ceiling/fromWalls.ts";
import type { Wall } from "../../../ceiling/types.ts";
import { wordedIn } from "../../../job/faults.ts";
import type { Job } from "../../../job/schema.ts";
import type { ByHand } from "../../../job/sections/pattern.ts";
import { formatLength, type LengthUnits } from "../../../job/units.ts";
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
      words: wordsOf(decision, job, plan?.ceiling.walls ?? []),
      fault: faultOf(decision, index, plan, planOf, job.units),
    };
  });
}

/** A report holds only as long as the plan's decision is the one in the job. */
function faultOf(
  decision: ByHand,
  index: number,
  plan: Plan | null,
  planOf: Job | null,
  units: LengthUnits,
): string {
  const planned = planOf?.pattern.byHand[index];
  if (!plan || JSON.stringify(planned) !== JSON.stringify(decision)) return "";
  const [report] = wordedIn(units, plan.pattern.byHand.slice(index, index + 1));
  return report && !report.kept ? report.why : "";
}

function wordsOf(decision: ByHand, { units, sky }: Job, walls: readonly Wall[]): string {
  if (decision.do === "omit") return decision.why ? `left out: ${decision.why}` : "left out";
  if (decision.do === "pin") {
    const [dx, dy] = decision.offsetMm ?? [0, 0];
    const far = formatLength(Math.sqrt(dx * dx + dy * dy), units);
    const how = decision.offsetMm ? `pinned ${far} from its place` : "pinned to a place on the plan";
    const night = sky.options.find(({ id }) => id === decision.night);
    return `${how} in the night “${night?.title || decision.night}”`;
  }
  return `added ${fromWallsWords(walls, decision.atMm, units)}${decision.diameterMm === undefined ? "" : `, ${decision.diameterMm} mm`}`;
}

const plainName = (decision: ByHand): string =>
  decision.do === "add" ? decision.name || "Hole of your own" : starName(decision.what);
