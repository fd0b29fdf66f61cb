import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import { type Edit, Refusal } from "../../edit.ts";
import { withBundles } from "./engines.ts";
import { bounds, type Bounds, within } from "../numbers.ts";

type Section = Job["bundles"];
type Metres = "riseM" | "tileSlackM" | "endAllowanceM" | "splitCostM" | "borderCostM" | "supportEveryM";
export type SharingNumber = Metres | "bendFactor" | "portFill" | "timeLimitS";

/** What each number of the sharing-out and of the runs may be, as the job document has it. */
export const SHARING_NUMBERS: Record<SharingNumber, Bounds> = {
  riseM: bounds("height of the runs", LIMITS.metres),
  tileSlackM: bounds("tile slack", LIMITS.metres),
  endAllowanceM: bounds("end allowance", LIMITS.metres),
  splitCostM: bounds("weight of a split tile", LIMITS.metres, 2),
  borderCostM: bounds("weight of a border", LIMITS.metres, 2),
  supportEveryM: bounds("distance of supports", LIMITS.supportEveryM, 2),
  bendFactor: bounds("bend factor", LIMITS.bendFactor, 1),
  portFill: bounds("port fill", LIMITS.portFill),
  timeLimitS: bounds("solver's time limit", LIMITS.timeLimitS, 1),
};

export function setSharing(job: Job, key: SharingNumber, value: number): Edit {
  const bounds = SHARING_NUMBERS[key];
  const next = within(bounds, value);
  return {
    name: `Set the ${bounds.words}`,
    job: next === job.bundles[key] ? job : withBundles(job, { [key]: next }),
    merge: key,
  };
}

export function setMode(job: Job, mode: Section["mode"]): Edit {
  const by = mode === "least-length" ? "least strand" : "equal parts";
  return { name: `Assign tiles by ${by}`, job: withBundles(job, { mode }) };
}

/** Gives tiles to an engine, or sets them free again (null). */
export function fixTiles(job: Job, tiles: readonly string[], letter: string | null): Edit {
  if (letter !== null && !job.bundles.engines.some((engine) => engine.letter === letter))
    throw new Refusal(`There is no engine ${letter}.`);
  const fixed = { ...job.bundles.fixed };
  for (const tile of tiles) {
    if (letter === null) delete fixed[tile];
    else fixed[tile] = letter;
  }
  const what = tiles.length === 1 ? `tile ${tiles[0]}` : `${tiles.length} tiles`;
  const same = JSON.stringify(fixed) === JSON.stringify(job.bundles.fixed);
  return {
    name: letter === null ? `Free ${what}` : `Fix ${what} to ${letter}`,
    job: same ? job : withBundles(job, { fixed }),
  };
}

export function freeAllTiles(job: Job): Edit {
  return { name: "Free all tiles", job: withBundles(job, { fixed: {} }) };
}

/** Keeps a sharing-out as it is: every whole tile fixed to its engine, so that nothing changes it any more. */
export function keepSharing(job: Job, owners: ReadonlyMap<string, string>): Edit {
  return {
    name: "Fix all tiles as they are",
    job: withBundles(job, { fixed: { ...job.bundles.fixed, ...Object.fromEntries(owners) } }),
  };
}

/** Lengths that strands from reels are cut to, as typed: "2, 3 4.5". */
export function setCutLengths(job: Job, typed: string): Edit {
  const words = typed.split(/[\s;]+|,\s+|,$/).filter((word) => word !== "");
  const lengths = [...new Set(words.map((word) => Number(word.replace(",", "."))))].sort((a, b) => a - b);
  if (lengths.length === 0 || lengths.length > 40 || lengths.some((m) => !(m > 0 && m <= 100)))
    throw new Refusal("Expected lengths in metres, as 2, 3, 4.5.");
  return { name: "Set the lengths cut from reels", job: withBundles(job, { cutLengthsM: lengths }) };
}
