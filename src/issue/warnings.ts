import type { Warning } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import { countStrands } from "../pattern/packing.ts";
import type { Instead } from "./keep.ts";
import { issuedTiles, type IssuedTile } from "./packed.ts";

/** More tiles than this are counted, not named one by one. */
const MOST_NAMED = 6;

const some = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

/** "34 holes elsewhere, 2 with other strands, 5 more" */
export function insteadWords({ moved, restrung, more }: Omit<Instead, "tile">): string {
  return [
    moved > 0 && `${some(moved, "hole")} elsewhere`,
    restrung > 0 && `${some(restrung, "hole")} with other strands`,
    more > 0 && `${some(more, "hole")} more`,
  ]
    .filter((words) => words !== false)
    .join(", ");
}

/** What the job as it is now would do otherwise, and does not: what was punched stays punched. */
export function issueWarnings(
  { issued, strands }: Pick<Job, "issued" | "strands">,
  instead: readonly Instead[],
): Warning[] {
  const tiles = issuedTiles(issued);
  const warnings: Warning[] = [];
  if (instead.length > 0) {
    const sum = (key: "moved" | "restrung" | "more") => instead.reduce((total, one) => total + one[key], 0);
    const all = insteadWords({ moved: sum("moved"), restrung: sum("restrung"), more: sum("more") });
    const named = instead.slice(0, MOST_NAMED).map((one) => `${one.tile} (${insteadWords(one)})`);
    const rest = instead.length > MOST_NAMED ? ` and ${instead.length - MOST_NAMED} more tiles` : "";
    warnings.push({
      code: "issued-kept",
      message:
        `${some(instead.length, "issued tile")} ${instead.length === 1 ? "stays as it was" : "stay as they were"} issued, though the job was changed since ` +
        `(or the program): worked out now there would be ${all}: ${named.join("; ")}${rest}. ` +
        "New stars go round them. Take a tile's issue back, if nobody has started it, to have it worked out again.",
      path: "issued",
    });
  }
  const over = overStock(tiles, strands.stock);
  if (over.length > 0)
    warnings.push({
      code: "issued-strands",
      message: `Issued tiles hold more strands than the stock says: ${over.join(", ")}. They stay as issued; count the stock again.`,
      path: "strands.stock",
    });
  return warnings;
}

function overStock(tiles: readonly IssuedTile[], stock: Job["strands"]["stock"]): string[] {
  const holes = tiles.flatMap((tile) => tile.holes.map(({ hole }) => hole));
  const diameters = [...new Set(holes.map(({ diameterMm }) => diameterMm))].sort((a, b) => a - b);
  return diameters.flatMap((diameterMm) => {
    const given = countStrands(holes.filter((hole) => hole.diameterMm === diameterMm));
    const has = stock.find((kind) => kind.diameterMm === diameterMm)?.count ?? 0;
    return given > has ? [`${given} of ${diameterMm} mm, stock ${has}`] : [];
  });
}
