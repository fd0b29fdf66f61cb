import type { FixingCost } from "../../../bundles/fixing.ts";
import { metresInWords, type LengthUnits } from "../../../job/units.ts";

/** "12.3 m of strand more, 1 tile more split": strand first, then what else the solver weighs. */
export function costWords({ strandM, dark, splits, borders }: FixingCost, units: LengthUnits): string {
  const counted = (n: number, one: string, many: string, what: string): string[] =>
    n === 0 ? [] : [`${Math.abs(n)} ${Math.abs(n) === 1 ? one : many} ${n < 0 ? "fewer" : "more"}${what}`];
  return [
    `${metresInWords(Math.abs(strandM), units)} of strand ${strandM < 0 ? "less" : "more"}`,
    ...counted(dark, "strand", "strands", " dark"),
    ...counted(splits, "tile", "tiles", " split"),
    ...counted(borders, "border", "borders", " between engines"),
  ].join(", ");
}
