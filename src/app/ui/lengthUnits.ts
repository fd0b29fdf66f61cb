import type { LengthUnits } from "../../job/units.ts";

let ask: () => LengthUnits = () => "mm";

/** The units in which fields show and take lengths; reactive where the asked function is. */
export const lengthUnits = (): LengthUnits => ask();

/** Tells the fields whom to ask: fields know no job. */
export function askLengthUnits(units: () => LengthUnits): void {
  ask = units;
}
