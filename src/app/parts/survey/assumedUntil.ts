import { formatLength, type LengthUnits } from "../../../job/units.ts";

/** What is worked with as long as a size is not measured, for under its field; "" for one that is. */
export const assumedUntil = (measured: unknown, assumedMm: number | undefined, units: LengthUnits): string =>
  (measured ?? undefined) === undefined && assumedMm !== undefined
    ? `${formatLength(assumedMm, units)} is assumed`
    : "";
