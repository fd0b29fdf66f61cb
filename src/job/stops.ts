import { FACTS } from "../trade/facts.ts";
import type { Job } from "./schema.ts";

/** A stop-or-go question of the survey that is not answered, or answered so that work must wait. */
export interface Stop {
  code: "return-air" | "fire-rated" | "void-contents" | "old-tiles";
  /** Not answered, or answered in the way that stops. */
  state: "unanswered" | "stops";
  words: string;
  path: string;
}

/** Every stop question that somebody must settle before anything is ordered or punched. */
export function stopQuestions({ ceiling, bundles }: Pick<Job, "ceiling" | "bundles">): Stop[] {
  const { survey, voidMm } = ceiling;
  const stops: Stop[] = [];
  const ask = (code: Stop["code"], state: Stop["state"], words: string, path: string) =>
    stops.push({ code, state, words, path });
  if (survey.returnAirVoid !== "no")
    ask(
      "return-air",
      survey.returnAirVoid === "yes" ? "stops" : "unanswered",
      survey.returnAirVoid === "yes"
        ? "The void carries return air: bare strand is usually not listed for it. Who allows it, in which words?"
        : "Does the void carry return air? Bare strand is usually not listed for that.",
      "ceiling.survey.returnAirVoid",
    );
  if (survey.fireRated !== "no")
    ask(
      "fire-rated",
      survey.fireRated === "yes" ? "stops" : "unanswered",
      survey.fireRated === "yes"
        ? "The ceiling is fire-rated: covering or punching its tiles ends that. Where is the designer's letter?"
        : "Is the ceiling fire-rated? Look for marks on backs of tiles and clips.",
      "ceiling.survey.fireRated",
    );
  if (voidMm === null && bundles.obstacles.length === 0)
    ask("void-contents", "unanswered", "What lies in the void, and how much is free above the grid?", "ceiling.voidMm"); // prettier-ignore
  if (survey.builtYear === null || survey.builtYear < FACTS.asbestosYear.value)
    ask(
      "old-tiles",
      survey.builtYear === null ? "unanswered" : "stops",
      survey.builtYear === null
        ? "When was the room built or last refitted? Old tiles and adhesive may hold asbestos."
        : `Built in ${survey.builtYear}: is there an asbestos survey of tiles, adhesive and dust?`,
      "ceiling.survey.builtYear",
    );
  return stops;
}
