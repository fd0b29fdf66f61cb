import type { StrandLot } from "../../bundles/types.ts";
import { formatLength } from "../../job/units.ts";
import type { SheetContext } from "../context.ts";

/** "1-4, 7, 9-10": whole numbers in rows, ascending. */
export function runs(numbers: readonly number[]): string {
  const sorted = [...numbers].sort((a, b) => a - b);
  const parts: string[] = [];
  for (let i = 0; i < sorted.length;) {
    let last = i;
    while (sorted[last + 1] === sorted[last]! + 1) last++;
    parts.push(last === i ? `${sorted[i]}` : `${sorted[i]}\u2013${sorted[last]}`);
    i = last + 1;
  }
  return parts.join(", ");
}

/** "24 of 0.75 mm, 5 m; 3 of 1 mm, 5 m" */
export const lotWords = (lots: readonly StrandLot[]): string =>
  lots
    .filter(({ count }) => count > 0)
    .map(({ diameterMm, lengthM, count }) => `${count} of ${diameterMm} mm, ${lengthM} m`)
    .join("; ");

/** A length as the job shows lengths. */
export const lengthWords = ({ plan }: SheetContext, mm: number): string => formatLength(mm, plan.job.units);

export const percent = (share: number, digits = 0): string => `${(share * 100).toFixed(digits)} %`;
