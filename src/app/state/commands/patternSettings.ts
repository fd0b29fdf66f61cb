import type { Job } from "../../../job/schema.ts";
import { type Edit, Refusal } from "../edit.ts";
import { readWhole } from "./patternNumbers.ts";

type Pattern = Job["pattern"];
export type Setting =
  "spacingMm" | "reachMm" | "brightReachMm" | "evenness" | "fillerShare" | "milkyWay" | "faintestMagnitude";

interface Bounds {
  words: string;
  min: number;
  max: number;
  /** Kept to this many decimals. */
  decimals: number;
}

/** What each setting may be, as the job document has it. */
export const SETTINGS: Record<Setting, Bounds> = {
  spacingMm: { words: "smallest spacing", min: 2, max: 200, decimals: 1 },
  reachMm: { words: "reach", min: 0, max: 60_000, decimals: 1 },
  brightReachMm: { words: "bright reach", min: 0, max: 60_000, decimals: 1 },
  evenness: { words: "evenness", min: 0, max: 1, decimals: 4 },
  fillerShare: { words: "share of filler", min: 0, max: 1, decimals: 4 },
  milkyWay: { words: "pull of the Milky Way", min: 0, max: 1, decimals: 4 },
  faintestMagnitude: { words: "faintest star", min: -2, max: 15, decimals: 2 },
};

const LARGEST_SEED = 2 ** 31 - 1;

/** Changes one setting; null is for the faintest star alone: as deep as the strands last. */
export function setPattern(job: Job, setting: Setting, value: number | null): Edit {
  const { words, min, max, decimals } = SETTINGS[setting];
  if (value === null && setting !== "faintestMagnitude") throw new Refusal(`The ${words} needs a number.`);
  if (value !== null && !(value >= min && value <= max)) {
    throw new Refusal(`The ${words} goes from ${min} to ${max}.`);
  }
  const next = value === null ? null : Number(value.toFixed(decimals));
  return {
    name: `Set the ${words}`,
    job: next === job.pattern[setting] ? job : withPattern(job, { [setting]: next }),
    merge: setting,
  };
}

/** The number from which filler is drawn: another one, another filler; the stars stay. */
export function setSeed(job: Job, seed: number): Edit {
  return {
    name: "Set the seed",
    job: withPattern(job, { seed: readWhole(seed, 0, LARGEST_SEED, "a seed") }),
    merge: "seed",
  };
}

export function shuffleFiller(job: Job): Edit {
  const seed = job.pattern.seed === LARGEST_SEED ? 0 : job.pattern.seed + 1;
  return { name: "Shuffle the filler", job: withPattern(job, { seed }) };
}

function withPattern(job: Job, change: Partial<Pattern>): Job {
  return { ...job, pattern: { ...job.pattern, ...change } };
}
