import type { StrandLot } from "../../bundles/types.ts";
import { formatLength, metresInWords, muchInWords, partWords, weightUnits } from "../../job/units.ts";
import { fromWallsWords } from "../../ceiling/fromWalls.ts";
import type { PointMm } from "../../geometry/types.ts";
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
export const lotWords = (context: SheetContext, lots: readonly StrandLot[]): string =>
  lots
    .filter(({ count }) => count > 0)
    .map(({ diameterMm, lengthM, count }) => `${count} of ${diameterMm} mm, ${metreWords(context, lengthM)}`)
    .join("; ");

/** How long the strands of one hole are cut: "5 m", or "4 at 5 m, 1 at 7 m" where a kit's lengths ran out between them. */
export function cutWords(context: SheetContext, strands: readonly { lengthM: number }[]): string {
  const lengths = [...new Set(strands.map(({ lengthM }) => lengthM))].sort((a, b) => a - b);
  if (lengths.length === 1) return metreWords(context, lengths[0]!);
  const count = (length: number) => strands.filter(({ lengthM }) => lengthM === length).length;
  return lengths.map((length) => `${count(length)} at ${metreWords(context, length)}`).join(", ");
}

/** A length as the job shows lengths; to tenths of a millimetre, which no tape beats. */
export const lengthWords = ({ plan }: SheetContext, mm: number): string =>
  formatLength(Math.round(mm * 10) / 10, plan.job.units);

/** The size of a part, to tenths of a millimetre or sixteenths of an inch. */
export const sizeWords = ({ plan }: SheetContext, mm: number): string =>
  partWords(Math.round(mm * 10) / 10, plan.job.units);

/** A place on the plan, as a tape finds it: from two walls by name. */
export const placeWords = ({ plan, clean }: SheetContext, place: PointMm): string =>
  fromWallsWords(plan.ceiling.walls, place, plan.job.units, clean);

/** How far on from the hole a strand is tied down, and how much hangs out of the face until it is snipped; common practice, no source. */
export const tieDownWords = ({ plan }: SheetContext): string =>
  plan.job.units === "ft-in" ? "2 to 4 in" : "50 to 100 mm";
export const leftHangingWords = ({ plan }: SheetContext): string =>
  plan.job.units === "ft-in" ? "3/4 to 2 in" : "20 to 50 mm";

/** Metres of strand or fabric as the job's people measure them. */
export const metreWords = ({ plan }: SheetContext, metres: number): string =>
  metresInWords(metres, plan.job.units);

/** Much strand in all. */
export const muchWords = ({ plan }: SheetContext, metres: number): string =>
  muchInWords(metres, plan.job.units);

export function massWords({ plan }: SheetContext, kg: number): string {
  const { unit, kg: one } = weightUnits(plan.job.units);
  return `${(kg / one).toFixed(2)} ${unit}`;
}

export const percent = (share: number, digits = 0): string => `${(share * 100).toFixed(digits)} %`;
