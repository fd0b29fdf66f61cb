import type { Picture } from "../../../../survey/picture.ts";
import type { Survey } from "../../../../survey/survey.ts";
import type { Role, Unit } from "../../../../survey/types.ts";
import type { Answer } from "../../../worker/api.ts";

/** What a person said of a drawing, as it crosses to the worker. */
export interface SaidOf {
  unit: Unit | null;
  room: number | null;
  roles: [key: string, role: Role][];
}

export interface Read {
  survey: Survey;
  picture: Picture;
}

/** What the page may ask of the worker that reads drawings. */
export interface DrawingApi {
  /** Reads the file and keeps it for the questions that follow. */
  read(bytes: Uint8Array, name: string): Promise<Answer<Read>>;
  survey(said: SaidOf): Promise<Answer<Read>>;
}
