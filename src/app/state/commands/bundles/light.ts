import { LIMITS } from "../../../../job/limits.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Edit } from "../../edit.ts";
import { withBundles } from "./engines.ts";
import { bounds, within } from "../numbers.ts";

type Twinkle = Job["bundles"]["twinkle"];
type Labels = Job["bundles"]["labels"];

/** Attenuation of the strand in dB/m; 0.2 is a good strand, an old or cheap one may have 1. */
export const LOSS = bounds("attenuation of the strand", LIMITS.lossDbPerM);
export const CHANNELS = bounds("number of channels", LIMITS.channels);
export const SHIFT_MM = bounds("shift of the labels", LIMITS.labelShiftMm, 2);
export const SKIP = bounds("number of used labels", LIMITS.labelsUsed);

export function setLoss(job: Job, dbPerM: number): Edit {
  const lossDbPerM = within(LOSS, dbPerM);
  return {
    name: "Set the attenuation of the strand",
    job: { ...job, strands: { ...job.strands, lossDbPerM } },
    merge: "loss",
  };
}

export function setCompensate(job: Job, compensateLength: boolean): Edit {
  return {
    name: compensateLength ? "Make up for length by thickness" : "Leave thickness to brightness",
    job: withBundles(job, { compensateLength }),
  };
}

export function setTwinkle(job: Job, kind: Twinkle["kind"]): Edit {
  const words = { none: "Steady light", wheel: "Twinkle by a wheel", channels: "Twinkle by channels" };
  return { name: words[kind], job: withBundles(job, { twinkle: { ...job.bundles.twinkle, kind } }) };
}

export function setChannels(job: Job, count: number): Edit {
  const channels = within(CHANNELS, count);
  return {
    name: "Set the number of channels",
    job: withBundles(job, { twinkle: { ...job.bundles.twinkle, channels } }),
    merge: "channels",
  };
}

export function setLabelSheet(job: Job, sheet: string): Edit {
  return { name: "Choose the label sheet", job: withLabels(job, { sheet, skip: 0 }) };
}

/** Places already used on the first sheet. */
export function setLabelSkip(job: Job, count: number): Edit {
  return {
    name: "Set the labels already used",
    job: withLabels(job, { skip: within(SKIP, count) }),
    merge: "skip",
  };
}

export function shiftLabels(job: Job, axis: 0 | 1, mm: number): Edit {
  const shiftMm = job.bundles.labels.shiftMm.with(axis, within(SHIFT_MM, mm)) as Labels["shiftMm"];
  return { name: "Shift the labels", job: withLabels(job, { shiftMm }), merge: `shift ${axis}` };
}

function withLabels(job: Job, change: Partial<Labels>): Job {
  return withBundles(job, { labels: { ...job.bundles.labels, ...change } });
}
