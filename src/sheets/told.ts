import { moveWords } from "../job/units.ts";
import type { Hole } from "../pattern/types.ts";
import type { Planned } from "../plan.ts";

/** What a client is told of how this ceiling differs from the sky; nothing is claimed that is not on it. */

/** The brightest looked at when moves are told. */
const TOLD_BRIGHTEST = 10;

/** Every decision by hand that was kept, one sentence each. */
export function handWords({ job, pattern }: Planned): string[] {
  const holeOf = new Map<unknown, Hole>();
  for (const hole of pattern.holes) holeOf.set(hole.star ?? hole.name.toLowerCase(), hole);
  const lostOf = new Map(pattern.lost.map((star) => [star.star ?? star.name.toLowerCase(), star]));
  return job.pattern.byHand.flatMap((decision, index): string[] => {
    if (!pattern.byHand.find((report) => report.index === index)?.kept) return [];
    if (decision.do === "add")
      return [`${decision.name === "" ? "A star" : `"${decision.name}"`} was added: no star of the sky.`];
    const name = holeOf.get(decision.what)?.name || lostOf.get(decision.what)?.name || `HIP ${decision.what}`;
    if (decision.do === "omit")
      return [`${name} was left out${decision.why === "" ? "" : `: ${decision.why}`}.`];
    const hole = holeOf.get(decision.what);
    if (!hole || hole.trueXMm === null) return [];
    const away = Math.hypot(hole.xMm - hole.trueXMm, hole.yMm - hole.trueYMm!);
    return [`${name} was set ${moveWords(away, job.units)} from its place in the sky.`];
  });
}

/** How far the brightest stand from where the sky puts them. */
export function brightMoves({ job, pattern }: Planned): string {
  const real = pattern.holes.filter((hole) => hole.magnitude !== null);
  const brightest = [...real]
    .sort((a, b) => a.magnitude! - b.magnitude! || a.id - b.id)
    .slice(0, TOLD_BRIGHTEST);
  if (brightest.length === 0) return "";
  const moved = brightest.filter((hole) => hole.movedMm > 0);
  const most = moved.reduce<Hole | null>(
    (far, hole) => (far && far.movedMm >= hole.movedMm ? far : hole),
    null,
  );
  if (!most) return `The ${brightest.length} brightest stand where the sky has them.`;
  const who = most.name || `a star of magnitude ${most.magnitude!.toFixed(1)}`;
  return `Of the ${brightest.length} brightest, ${moved.length} ${moved.length === 1 ? "was" : "were"} moved, ${who} farthest: ${moveWords(most.movedMm, job.units)}.`;
}

/** "1260 stars", "1258 stars, 2 planets and the Moon": what of the sky is really on this ceiling. */
export function skyWords({ pattern }: Planned): string {
  const count = (kind: Hole["kind"]) => pattern.holes.filter((hole) => hole.kind === kind).length;
  const planets = count("planet");
  const parts = [
    `${count("star")} stars`,
    ...(planets > 0 ? [`${planets} ${planets === 1 ? "planet" : "planets"}`] : []),
    ...(count("moon") > 0 ? ["the Moon"] : []),
  ];
  return parts.length === 1 ? parts[0]! : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;
}

/** ", and 12 faint points added between them", or nothing. */
export function fillerWords({ pattern }: Planned): string {
  const filler = pattern.holes.filter(({ kind, byHand }) => kind === "filler" && !byHand).length;
  if (filler === 0) return "";
  return filler === 1
    ? ", and one faint point added between them"
    : `, and ${filler} faint points added between them`;
}
