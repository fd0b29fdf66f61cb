import { FIRM_FORMAT, FIRM_VERSION } from "../../job/firm.ts";
import type { Firm } from "../../job/firmFile.ts";
import type { Job } from "../../job/schema.ts";
import { firmOfToday } from "../../job/migrations.ts";
import { rememberedFirm } from "./settings.ts";

/** The firm kept in this browser, or null. What it holds is checked with the job that starts from it. */
export function keptFirm(): Firm | null {
  try {
    return firmOfToday(JSON.parse(rememberedFirm() ?? "null")) as Firm | null;
  } catch {
    return null;
  }
}

/** A firm of which only the units are known. */
export const nobody = (units: Job["units"]): Firm => ({
  format: FIRM_FORMAT,
  version: FIRM_VERSION,
  name: "",
  address: "",
  taxNumber: "",
  logo: "",
  units,
});
