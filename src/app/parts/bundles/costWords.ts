import type { Bundles } from "../../../bundles/types.ts";

/** What a choice costs against leaving it to the solver; below 0 it saves. */
export interface Cost {
  strandM: number;
  dark: number;
  splits: number;
  borders: number;
}

export function costOf(chosen: Bundles, free: Bundles): Cost {
  return {
    strandM: chosen.allotment.strandM - free.allotment.strandM,
    dark: chosen.unlit.length - free.unlit.length,
    splits: chosen.allotment.splitTiles.length - free.allotment.splitTiles.length,
    borders: chosen.allotment.borders - free.allotment.borders,
  };
}

/** "12.3 m of strand more, 1 tile more split": strand first, then what else the solver weighs. */
export function costWords({ strandM, dark, splits, borders }: Cost): string {
  const counted = (n: number, one: string, many: string, what: string): string[] =>
    n === 0 ? [] : [`${Math.abs(n)} ${Math.abs(n) === 1 ? one : many} ${n < 0 ? "fewer" : "more"}${what}`];
  return [
    `${Math.abs(strandM).toFixed(1)} m of strand ${strandM < 0 ? "less" : "more"}`,
    ...counted(dark, "strand", "strands", " dark"),
    ...counted(splits, "tile", "tiles", " split"),
    ...counted(borders, "border", "borders", " between engines"),
  ].join(", ");
}
