import { COMPACT_FAINTEST, needsDeepCatalog } from "../catalogDepth.ts";
import { unknownKeys } from "../job/documentSchema.ts";
import { wordedIn, type Warning } from "../job/faults.ts";
import { issueWarnings } from "../issue/warnings.ts";
import type { Job } from "../job/schema.ts";
import { formatLength } from "../job/units.ts";
import { STEP_TOLERANCE_MILLI } from "../pattern/ladder.ts";
import type { Pattern } from "../pattern/types.ts";
import type { Chosen, Made } from "./stage.ts";

/** A step of brightness that is off by more than this shows. */
const UNEVEN_MAG = STEP_TOLERANCE_MILLI / 1000;
/** A lost star brighter than this is named in a warning: everybody knows it, and will look for it. */
const MISSED_MAGNITUDE = 2;

/** Fewer stars tell nothing; more at edges, or more regular than this, and a person in the room sees it. */
const ENOUGH = 200;
const MOST_EDGE_EXCESS = 3;
const MOST_REGULAR = 0.15;

/** Keys we don't know are kept, but a misspelt one would be obeyed by nobody. */
export function jobWarnings(job: Job): Warning[] {
  return unknownKeyWarnings(unknownKeys(job));
}

export function unknownKeyWarnings(keys: readonly string[]): Warning[] {
  return keys.map((path) => ({
    code: "unknown-key",
    message: "This key is not known and changes nothing; it is kept. Is it misspelt?",
    path,
  }));
}

/** What a person should know about the holes of a job. */
export function holesWarnings({ job, night, at }: Chosen, holes: Made["holes"]): Warning[] {
  const warnings: Warning[] = [];
  if (holes.faintest <= COMPACT_FAINTEST && needsDeepCatalog(job, night))
    warnings.push({
      code: "needs-deep-catalog",
      message:
        "So narrow a field, or so many strands, may need stars fainter than the compact catalogue holds; " +
        "filler stands in for them.",
      path: "strands",
    });
  if (holes.stars === 0)
    warnings.push({
      code: "empty-sky",
      message:
        "No star of this sky lies on the ceiling: the view is below the horizon, or the field too narrow.",
      path: `${at}.view`,
    });
  return [...warnings, ...issueWarnings(job, holes.instead), ...patternWarnings(holes.pattern, job)];
}

function patternWarnings(
  { byHand, holes, lost, shortfall, fidelity, tight }: Pattern,
  { units, pattern: { brightReachMm: farMm } }: Job,
): Warning[] {
  const warnings: Warning[] = wordedIn(units, byHand)
    .filter((report) => !report.kept)
    .map(({ index, why }) => ({
      code: "by-hand-not-kept",
      message: `What was set by hand is left aside: ${why}`,
      path: `pattern.byHand[${index}]`,
    }));
  for (const hole of holes) {
    if (!hole.byHand || hole.kind === "filler" || hole.movedMm <= farMm) continue;
    warnings.push({
      code: "pinned-far",
      message:
        `${hole.name || `HIP ${hole.star}`} is pinned ${formatLength(Math.round(hole.movedMm), units)} from where this sky puts it, ` +
        `farther than the reach of bright stars (${formatLength(farMm, units)}): anyone who knows the sky will look for it elsewhere.`,
      path: "pattern.byHand",
    });
  }
  for (const star of wordedIn(units, lost)) {
    if (star.magnitude > MISSED_MAGNITUDE || star.reason === "left out by hand" || star.reason === "merged")
      continue;
    const name = star.name || `HIP ${star.star}`;
    warnings.push({
      code: "bright-star-lost",
      message: `${name} (magnitude ${star.magnitude.toFixed(1)}) has no hole: ${star.reason}${star.detail ? ` (${star.detail})` : ""}.`,
    });
  }
  const { likeness, mattering, drowned, stars } = fidelity;
  for (const { abbreviation, onCeiling, kept } of mattering)
    if (onCeiling === 0 || kept < onCeiling)
      warnings.push({
        code: "figure-not-whole",
        message: `${abbreviation} matters to the client, and ${onCeiling === 0 ? "has no star on this ceiling" : `${onCeiling - kept} of its ${onCeiling} stars on this ceiling found no place`}.`,
        path: "sky.options",
      });
  for (const { name, rivals } of drowned)
    warnings.push({
      code: "figure-drowned",
      message: `${name} will be hard to recognise: ${rivals} holes shine at least as bright as its five brightest stars.`,
      path: "strands.stock",
    });
  if (stars >= ENOUGH && likeness.edgeExcess > MOST_EDGE_EXCESS)
    warnings.push({
      code: "edges-show",
      message: `Rows of stars will draw the tiles: ${likeness.edgeExcess.toFixed(1)} times as many as by chance lie at an edge.`,
      path: "pattern",
    });
  if (holes.length >= ENOUGH && Math.abs(likeness.nearestNeighbour - 1) > MOST_REGULAR)
    warnings.push({
      code: "spread-unnatural",
      message:
        `The stars stand ${likeness.nearestNeighbour > 1 ? "more evenly" : "more in clumps"} than chance, as no sky does: ` +
        `neighbours are ${likeness.nearestNeighbour.toFixed(2)} times as far apart as chance points.`,
      path: "pattern",
    });
  if (fidelity.stepErrorMag > UNEVEN_MAG)
    warnings.push({
      code: "ladder-uneven",
      message:
        `The light of stars is ${fidelity.stepErrorMag.toFixed(2)} magnitude off the brightness scale, root mean square ` +
        `(${UNEVEN_MAG} is hardly seen): the stock can't carry it. "velarium stock" says which strands would; or allow more ` +
        "strands in a hole, or type a smaller exponent.",
      path: "strands",
    });
  if (tight > 0)
    warnings.push({
      code: "wide-holes",
      message:
        `${tight} ${tight === 1 ? "hole of several strands stands" : "holes of several strands stand"} nearer to an edge or to another hole than the ` +
        "spacing for so wide a hole: there is no room beside. Look at them before drilling, or allow fewer strands in a hole.",
      path: "strands.mostPerHole",
    });
  if (shortfall) warnings.push({ code: "shortfall", message: shortfall, path: "strands" });
  return warnings;
}
