import type { Job } from "../../job/schema.ts";
import type { Edit } from "./edit.ts";

/** One state of the job and the name of the edit that led to it ("" for the first). */
export interface Step {
  name: string;
  /** null where it is kept and was not read yet. */
  job: Job | null;
  merge: string;
}

/** So many of the newest steps are all kept, and at most as many older ones. */
export const NEWEST_STEPS = 100;

/** States of a job since it was opened or made, and which of them is the present one. Immutable. */
export interface History {
  steps: readonly Step[];
  at: number;
}

export function startHistory(job: Job): History {
  return { steps: [{ name: "", job, merge: "" }], at: 0 };
}

export function presentJob(history: History): Job {
  const { job } = stepAt(history, history.at);
  if (job === null) throw new Error(`step ${history.at} of the history was not read`);
  return job;
}

/** Adds an edit after the present; whatever had been undone is gone. An edit that changes nothing adds nothing. */
export function record(history: History, edit: Edit): History {
  const present = stepAt(history, history.at);
  if (edit.job === present.job) return history;
  const merge = edit.merge ?? "";
  const step: Step = { name: edit.name, job: edit.job, merge };
  const joins = merge !== "" && merge === present.merge && history.at === history.steps.length - 1;
  const kept = history.steps.slice(0, joins ? history.at : history.at + 1);
  const steps = thinned([...kept, step]);
  return { steps, at: steps.length - 1 };
}

/**
 * History with a limit: the newest hundred steps are all there. Whenever the older ones come to more than a hundred,
 * every second of them goes; the first stays, and so does the one that `keep` names. The further back, the wider apart.
 */
export function thinned<T>(steps: readonly T[], keep?: T): T[] {
  const split = Math.max(0, steps.length - NEWEST_STEPS);
  let older = steps.slice(0, split);
  while (older.length > NEWEST_STEPS) older = older.filter((step, i) => i % 2 === 0 || step === keep);
  return [...older, ...steps.slice(split)];
}

/**
 * The history with another present job and no new step: for what is no design, and must not be undone with it. The
 * same history where nothing changes.
 */
export function amended(history: History, job: Job): History {
  const present = stepAt(history, history.at);
  if (job === present.job) return history;
  return { steps: history.steps.with(history.at, { ...present, job, merge: "" }), at: history.at };
}

/** Ends a run of merging edits: the next one starts a step of its own. */
export function seal(history: History): History {
  const present = stepAt(history, history.at);
  if (present.merge === "") return history;
  const steps = history.steps.with(history.at, { ...present, merge: "" });
  return { steps, at: history.at };
}

export function undo(history: History): History {
  return history.at === 0 ? history : seal({ steps: history.steps, at: history.at - 1 });
}

export function redo(history: History): History {
  return history.at === history.steps.length - 1
    ? history
    : seal({ steps: history.steps, at: history.at + 1 });
}

/** Name of the edit that undo would take back, or null. */
export function undoName(history: History): string | null {
  return history.at === 0 ? null : stepAt(history, history.at).name;
}

/** Name of the edit that redo would bring back, or null. */
export function redoName(history: History): string | null {
  return history.steps[history.at + 1]?.name ?? null;
}

function stepAt(history: History, index: number): Step {
  const step = history.steps[index];
  if (step === undefined) throw new Error(`history has no step ${index}`);
  return step;
}
