import { z } from "zod";
import { JobFaults } from "./faults.ts";
import { FIRM_FORMAT, FIRM_VERSION } from "./firm.ts";
import { readJson } from "./json.ts";
import { firmOfToday } from "./migrations.ts";
import { schemaFaults } from "./schemaFaults.ts";
import { bundlesSchema } from "./sections/bundles.ts";
import { logo } from "./sections/common.ts";
import { strandsSchema } from "./sections/pattern.ts";
import { sheetsSchema } from "./sections/sheets.ts";
import { takeoffSchema } from "./sections/takeoff.ts";

/** What a firm keeps from job to job: a file of its own, so that it can be carried to another device. */
export const firmSchema = z.looseObject({
  format: z.literal(FIRM_FORMAT),
  version: z.literal(FIRM_VERSION),
  name: z.string().max(200).default(""),
  address: z.string().max(400).default(""),
  taxNumber: z.string().max(60).default(""),
  logo,
  units: z.enum(["mm", "cm", "m", "ft-in"]).default("mm"),
  strands: strandsSchema.optional(),
  /** Rates, prices, wastes; what belongs to one ceiling or one client is not in it. */
  takeoff: takeoffSchema.omit({ grid: true }).optional(),
  sheets: sheetsSchema.optional(),
  labels: bundlesSchema.shape.labels.optional(),
});
export type Firm = z.output<typeof firmSchema>;

/** Reads a firm's file. Throws JobFaults with every fault in it. */
export function readFirm(input: string | Uint8Array): Firm {
  const written = readJson(input);
  const format = (written as { format?: unknown } | null)?.format;
  if (format !== FIRM_FORMAT)
    throw new JobFaults([
      {
        path: "format",
        expected: FIRM_FORMAT,
        got: (JSON.stringify(format) ?? "nothing").slice(0, 60),
        next: "Choose a firm's file, as the studio or `velarium firm` writes it.",
      },
    ]);
  const document = firmOfToday(written);
  const read = firmSchema.safeParse(document);
  if (read.success) return read.data;
  throw new JobFaults(schemaFaults(document, read.error.issues));
}
