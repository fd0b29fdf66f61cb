import { JobFaults } from "../../../job/faults.ts";
import { parseLength } from "../../../job/units.ts";
import { BAR_MM, BAR_TOLERANCE_MM } from "../../../sheets/bars.ts";
import { FACTS } from "../../../trade/facts.ts";

/** Beyond this a page has been scaled by a print dialog rather than by the printer. */
export const PLAUSIBLE_SHARE = FACTS.fittedShare.value;
/** A full tile, to say what an error comes to. */
const TILE_MM = 600;

export type BarVerdict = "true" | "corrected" | "implausible";

export function verdictOn(barMm: number): BarVerdict {
  const off = Math.abs(barMm - BAR_MM);
  if (off <= BAR_TOLERANCE_MM + 1e-9) return "true";
  return off / BAR_MM > PLAUSIBLE_SHARE ? "implausible" : "corrected";
}

/** What a bar's measure means, in words. */
export function barWords(axis: "across" | "along", barMm: number): string {
  const stretch = (BAR_MM / barMm).toFixed(4);
  const overTile = Math.abs((barMm / BAR_MM - 1) * TILE_MM).toFixed(1);
  if (barMm === BAR_MM) return `${axis}: true to size`;
  const way = barMm < BAR_MM ? "short" : "long";
  return `${axis}: prints ${overTile} mm ${way} over ${TILE_MM} mm; the next print is stretched by ${stretch}`;
}

/** A measured bar as typed, mm unless said otherwise; a string says what is wrong with it. */
export function readBar(text: string): number | string {
  try {
    return parseLength(text, "mm");
  } catch (error) {
    if (error instanceof JobFaults) return error.faults[0]?.next ?? "That is not a length.";
    throw error;
  }
}
