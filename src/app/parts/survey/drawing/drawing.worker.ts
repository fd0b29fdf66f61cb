import { expose } from "comlink";
import { readDrawing } from "../../../../survey/drawing.ts";
import { pictureOf } from "../../../../survey/picture.ts";
import { surveyDrawing } from "../../../../survey/survey.ts";
import type { Drawing } from "../../../../survey/types.ts";
import { answer } from "../../../worker/answer.ts";
import type { DrawingApi, Read, SaidOf } from "./drawingApi.ts";

let drawing: Drawing | null = null;

function surveyed({ unit, room, roles }: SaidOf): Read {
  if (drawing === null) throw new Error("no drawing is open in the drawing worker");
  const survey = surveyDrawing(drawing, {
    unit: unit ?? undefined,
    room: room ?? undefined,
    roles: new Map(roles),
  });
  return { survey, picture: pictureOf(drawing, survey.taken) };
}

const api: DrawingApi = {
  read: (bytes, name) =>
    answer(() => {
      drawing = readDrawing(new TextDecoder("utf-8").decode(bytes), name);
      return surveyed({ unit: null, room: null, roles: [] });
    }),
  survey: (said) => answer(() => surveyed(said)),
};

expose(api);
