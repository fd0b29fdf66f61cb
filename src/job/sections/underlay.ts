import { z } from "zod";
import { LIMITS, LONGEST_PICTURE } from "../limits.ts";
import { label, number } from "./common.ts";

/** A plan or a photograph of one, to trace over. It is a help for the eye: no hole and no paper depends on it. */
export const underlaySchema = z
  .looseObject({
    /** Where it came from: name of the file, and page. */
    name: label.default(""),
    image: z
      .string()
      .max(LONGEST_PICTURE)
      .regex(/^data:image\/(webp|jpeg|png);base64,[A-Za-z0-9+/]+=*$/, "a picture as data:image/..."),
    sizePx: z.tuple([number(LIMITS.picturePx), number(LIMITS.picturePx)]),
    /** Where its upper left corner lies on the plan. */
    cornerMm: z.tuple([number(LIMITS.pictureAtMm), number(LIMITS.pictureAtMm)]),
    mmPerPx: number(LIMITS.mmPerPx),
    /** Turned clockwise on the plan, about that corner. */
    turnDeg: number(LIMITS.turnDeg).default(0),
    opacity: number(LIMITS.opacity).default(0.6),
    shown: z.boolean().default(true),
  })
  .nullable()
  .default(null);
export type Underlay = NonNullable<z.output<typeof underlaySchema>>;
