import type { Firm } from "./firmFile.ts";
import type { Job, JobInput } from "./schema.ts";

export const FIRM_FORMAT = "velarium.firm";
export const FIRM_VERSION = 2;

/** What of a job is the firm's: nothing of its client, its ceiling or its skies. */
export function firmOf(job: Job): Firm {
  const takeoff: Partial<Job["takeoff"]> = { ...job.takeoff };
  delete takeoff.grid;
  return {
    format: FIRM_FORMAT,
    version: FIRM_VERSION,
    name: job.firm,
    address: job.firmAddress,
    taxNumber: job.firmTaxNumber,
    logo: job.firmLogo,
    units: job.units,
    strands: { ...job.strands, use: null },
    takeoff: {
      ...takeoff,
      fabric: { ...job.takeoff.fabric, name: "" },
      prices: { ...job.takeoff.prices, extras: [], options: [], quoteNumber: "", quoteDate: "" },
    } as NonNullable<Firm["takeoff"]>,
    sheets: {
      ...job.sheets,
      listed: { ...job.sheets.listed, tiles: [] },
      titleBlock: { number: "", issuedOn: "", drawnBy: "", approvedBy: "" },
    },
    labels: { ...job.bundles.labels, skip: 0 },
  };
}

/** The sections with which a new job of a firm starts. */
export function startOf({ name, address, taxNumber, logo, units, takeoff, sheets, labels }: Firm) {
  return {
    firm: name,
    firmAddress: address,
    firmTaxNumber: taxNumber,
    ...(logo ? { firmLogo: logo } : {}),
    units,
    ...(takeoff ? { takeoff } : {}),
    ...(sheets ? { sheets } : {}),
    ...(labels ? { bundles: { labels } } : {}),
  } satisfies Partial<JobInput>;
}

/** A firm's file, as text. */
export const writeFirm = (firm: Firm): string => JSON.stringify(firm, null, 2) + "\n";
