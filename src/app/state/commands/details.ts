import type { Job } from "../../../job/schema.ts";
import type { Edit } from "../edit.ts";
import { Refusal, withCeiling } from "../edit.ts";

const DETAIL_WORDS = {
  title: "title",
  client: "client",
  room: "room",
  firm: "firm",
  firmAddress: "address of the firm",
  firmTaxNumber: "tax number of the firm",
} as const;

export function setDetail(job: Job, key: keyof typeof DETAIL_WORDS, value: string): Edit {
  const text = value.trim();
  if (key === "title" && text === "") throw new Refusal("A job needs a title, to be found again.");
  const most = key === "firmAddress" ? 400 : key === "firmTaxNumber" ? 60 : 200;
  if (text.length > most) throw new Refusal(`At most ${most} characters fit there.`);
  return { name: `Change the ${DETAIL_WORDS[key]}`, job: { ...job, [key]: text } };
}

/** A JPEG as the job keeps it; "" for none. */
export const setLogo = (job: Job, firmLogo: string): Edit => ({
  name: firmLogo ? "Change the logo" : "Remove the logo",
  job: { ...job, firmLogo },
});

/** How lengths are shown and typed; what is stored stays millimetres. */
export function setUnits(job: Job, units: Job["units"]): Edit {
  return { name: "Change the units", job: { ...job, units } };
}

export function setRevision(job: Job, revision: number): Edit {
  return { name: "Set the revision", job: { ...job, revision } };
}

export type SurveyAnswers = Job["ceiling"]["survey"];

const QUESTION_WORDS = {
  returnAirVoid: "return air",
  fireRated: "fire rating",
  sprinklered: "sprinklers",
  builtYear: "the year built",
} as const;

export function answerSurvey<K extends keyof typeof QUESTION_WORDS>(
  job: Job,
  question: K,
  answer: SurveyAnswers[K],
): Edit {
  const survey = { ...job.ceiling.survey, [question]: answer };
  return { name: `Answer about ${QUESTION_WORDS[question]}`, job: withCeiling(job, { survey }) };
}
