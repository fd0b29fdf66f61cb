import type { Job } from "../../../../job/schema.ts";
import type { Night } from "../../../../job/sections/sky.ts";
import { type Edit, Refusal } from "../../../state/edit.ts";

/** The job document holds no more skies than this (job/sections/sky.ts). */
export const MOST_NIGHTS = 24;
/** Nights that fit side by side. */
export const MOST_COMPARED = 4;
const LONGEST_TITLE = 200;

/** The night that is on the ceiling: the one that is shown, changed and punched. */
export function chosenNight(job: Job): Night {
  const night = job.sky.options.find((option) => option.id === job.sky.chosen) ?? job.sky.options[0];
  if (night === undefined) throw new Refusal("This job holds no night.");
  return night;
}

/** What a night is called where people read it. */
export function nightTitle(night: Pick<Night, "id" | "title">): string {
  return night.title || night.id;
}

/** The job with the chosen night replaced. */
export function withChosen(job: Job, night: Night): Job {
  const options = job.sky.options.map((option) => (option.id === night.id ? night : option));
  return { ...job, sky: { ...job.sky, options } };
}

/** Puts another night of the job on the ceiling. */
export function chooseNight(job: Job, id: string): Edit {
  const night = nightOf(job, id);
  const name = `Choose “${nightTitle(night)}”`;
  return id === job.sky.chosen ? { name, job } : { name, job: { ...job, sky: { ...job.sky, chosen: id } } };
}

/** A second one like it, after it and chosen, to be changed without losing the first. */
export function duplicateNight(job: Job, id: string): Edit {
  const night = nightOf(job, id);
  const copy = { ...night, title: `${nightTitle(night)}, again`.slice(0, LONGEST_TITLE) };
  return { name: `Copy “${nightTitle(night)}”`, job: inserted(job, copy, id) };
}

/** A night from elsewhere, such as a proposal of the search, put after the chosen one and chosen. */
export function takeNight(job: Job, night: Night): Edit {
  return { name: `Add “${nightTitle(night)}”`, job: inserted(job, night, job.sky.chosen) };
}

export function renameNight(job: Job, id: string, title: string): Edit {
  const text = title.trim();
  if (text === "") throw new Refusal("A night needs a name, to be told from the others.");
  if (text.length > LONGEST_TITLE) throw new Refusal(`At most ${LONGEST_TITLE} characters fit a title.`);
  const options = job.sky.options.map((o) => (o.id === nightOf(job, id).id ? { ...o, title: text } : o));
  return { name: "Rename the night", job: { ...job, sky: { ...job.sky, options } } };
}

/** Takes a night out; the one after it, or else before it, is chosen where it was the chosen one. */
export function removeNight(job: Job, id: string): Edit {
  const night = nightOf(job, id);
  const { options, chosen } = job.sky;
  if (options.length === 1) throw new Refusal("The last night stays: a ceiling needs one.");
  const index = options.indexOf(night);
  const rest = options.toSpliced(index, 1);
  const heir = rest[Math.min(index, rest.length - 1)]?.id ?? chosen;
  return {
    name: `Remove “${nightTitle(night)}”`,
    job: { ...job, sky: { ...job.sky, options: rest, chosen: id === chosen ? heir : chosen } },
  };
}

function nightOf(job: Job, id: string): Night {
  const night = job.sky.options.find((option) => option.id === id);
  if (night === undefined) throw new Refusal("That night is no longer in the job.");
  return night;
}

function inserted(job: Job, night: Night, afterId: string): Job {
  const { options } = job.sky;
  if (options.length >= MOST_NIGHTS)
    throw new Refusal(`A job holds ${MOST_NIGHTS} nights: remove one first.`);
  const id = freeId(job);
  const index = options.findIndex((option) => option.id === afterId);
  const list = options.toSpliced(index + 1, 0, { ...night, id });
  return { ...job, sky: { ...job.sky, options: list, chosen: id } };
}

/** "night-2", "night-3" ...: the first that is free. */
function freeId(job: Job): string {
  const taken = new Set(job.sky.options.map((option) => option.id));
  for (let n = job.sky.options.length + 1; ; n++) if (!taken.has(`night-${n}`)) return `night-${n}`;
}
