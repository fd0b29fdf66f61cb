import { z } from "zod";
import { LIMITS } from "../limits.ts";
import { label, number } from "./common.ts";

export const sheetsSchema = z.looseObject({
  /** Name of a paper in src/sheets/papers.ts. */
  paper: z.string().max(40).default("A4"),
  /** BACK is read from above (punching), FACE from below (checking). */
  sides: z
    .array(z.enum(["back", "face"]))
    .min(1)
    .max(2)
    .default(["back"]),
  /** FACE as one reduced sheet a tile, to check by, or at full size. */
  face: z.enum(["check", "full"]).default("check"),
  /** Holes on no sheet: those of sheets with three holes or fewer, and of whole tiles; two distances each, on a list. */
  listed: z
    .looseObject({
      few: z.boolean().default(false),
      tiles: z.array(z.string().max(20)).max(5000).default([]),
    })
    .prefault({}),
  /** What a title block holds besides firm, title, revision and sheet number (ISO 7200); "" = a line to write on. */
  titleBlock: z
    .looseObject({
      number: label.default(""),
      issuedOn: label.default(""),
      drawnBy: label.default(""),
      approvedBy: label.default(""),
    })
    .prefault({}),
  /** Length of the printed 150 mm bars as measured on this printer's paper; corrects the next print. */
  printer: z
    .looseObject({
      name: z.string().max(100).default(""),
      barXMm: number(LIMITS.barMm).default(150),
      barYMm: number(LIMITS.barMm).default(150),
    })
    .prefault({}),
});
