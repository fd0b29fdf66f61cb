import { z } from "zod";
import { logo } from "./sections/common.ts";
import { issuedSchema } from "./sections/issued.ts";
import { ceilingSchema } from "./sections/ceiling.ts";
import { bundlesSchema } from "./sections/bundles.ts";
import { patternSchema, strandsSchema } from "./sections/pattern.ts";
import { sceneSchema } from "./sections/scene.ts";
import { sheetsSchema } from "./sections/sheets.ts";
import { skySchema } from "./sections/sky.ts";
import { takeoffSchema } from "./sections/takeoff.ts";
import { underlaySchema } from "./sections/underlay.ts";
import { JOB_FORMAT, JOB_VERSION } from "./version.ts";

export { JOB_FORMAT, JOB_VERSION };

/**
 * The job document. One section a file in `sections/`, each key with its unit in its name and
 * its default beside it. Objects are loose: a key of somebody else's is kept, and reported by `readJob`.
 */
export const jobSchema = z.looseObject({
  format: z.literal(JOB_FORMAT),
  version: z.literal(JOB_VERSION),
  /** Which job a record of the bench is of, whatever the job's title becomes; `readJob` gives one to a job without. */
  id: z.string().min(1).max(64).optional(),
  title: z.string().min(1).max(200),
  /** Who it is for, where, and who does it; printed in title blocks. */
  client: z.string().max(200).default(""),
  room: z.string().max(200).default(""),
  firm: z.string().max(200).default(""),
  firmAddress: z.string().max(400).default(""),
  firmTaxNumber: z.string().max(60).default(""),
  /** A JPEG, printed on the quote and the client pack; "" = none. */
  firmLogo: logo,
  /** Raised whenever a change makes printed sheets stale; printed on every page. */
  revision: z.int().min(1).max(9999).default(1),
  /** How lengths are shown and typed. Stored lengths are millimetres whatever this says. */
  units: z.enum(["mm", "cm", "m", "ft-in"]).default("mm"),
  ceiling: ceilingSchema,
  sky: skySchema,
  strands: strandsSchema,
  pattern: patternSchema.prefault({}),
  sheets: sheetsSchema.prefault({}),
  bundles: bundlesSchema.prefault({}),
  takeoff: takeoffSchema.prefault({}),
  scene: sceneSchema.prefault({}),
  issued: issuedSchema,
  /** A plan to trace over while surveying. */
  underlay: underlaySchema,
});

/** A job with every default filled in. */
export type Job = z.output<typeof jobSchema>;
/** A job as a person may write it, defaults left out. */
export type JobInput = z.input<typeof jobSchema>;
