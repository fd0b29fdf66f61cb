import { CONSTELLATIONS } from "../../../../job/constellations.ts";
import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";
import { bounds, type Bounds } from "../../../state/commands/numbers.ts";
import { readWhole } from "./numbers.ts";

type Pattern = Job["pattern"];
export type Setting =
  | "spacingMm"
  | "airMm"
  | "reachMm"
  | "brightReachMm"
  | "evenness"
  | "deeperShare"
  | "milkyWay"
  | "faintestMagnitude";

/** What each setting may be, as the job document has it. */
export const SETTINGS: Record<Setting, Bounds> = {
  spacingMm: bounds("smallest spacing", LIMITS.spacingMm, 1),
  airMm: bounds("air round constellations that matter", LIMITS.airMm, 1),
  reachMm: bounds("reach", LIMITS.distanceMm, 1),
  brightReachMm: bounds("bright reach", LIMITS.distanceMm, 1),
  evenness: bounds("evenness", LIMITS.share, 4),
  deeperShare: bounds("share of fainter stars", LIMITS.share, 4),
  milkyWay: bounds("pull of the Milky Way", LIMITS.share, 4),
  faintestMagnitude: bounds("faintest star", LIMITS.faintestMagnitude, 2),
};

const LARGEST_SEED = LIMITS.seed.max;

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

const MOST_FIGURES = 12;

/** Names the constellations that matter in the chosen sky: abbreviations with commas or blanks between. */
export function setFigures(job: Job, text: string): Edit {
  const asked = text.split(/[\s,;]+/).filter((word) => word !== "");
  const figures = asked.map((word) => {
    const known = CONSTELLATIONS.find((name) => name.toLowerCase() === word.toLowerCase());
    if (!known)
      throw new Refusal(`“${word}” is no constellation: give abbreviations such as Ori, UMa or Cru.`);
    return known;
  });
  if (figures.length > MOST_FIGURES) throw new Refusal(`At most ${MOST_FIGURES} constellations can matter.`);
  const { chosen, options } = job.sky;
  const changed = options.map((o) => (o.id === chosen ? { ...o, figures: [...new Set(figures)] } : o));
  return {
    name: "Name the constellations that matter",
    job: { ...job, sky: { ...job.sky, options: changed } },
  };
}

/** The number from which chance is drawn: another one, other faint stars; those to the limit stay. */
export function setSeed(job: Job, seed: number): Edit {
  return {
    name: "Set the seed",
    job: withPattern(job, { seed: readWhole(seed, 0, LARGEST_SEED, "a seed") }),
    merge: "seed",
  };
}

export function shuffleFiller(job: Job): Edit {
  const seed = job.pattern.seed === LARGEST_SEED ? 0 : job.pattern.seed + 1;
  return { name: "Draw other faint stars", job: withPattern(job, { seed }) };
}

function withPattern(job: Job, change: Partial<Pattern>): Job {
  return { ...job, pattern: { ...job.pattern, ...change } };
}
