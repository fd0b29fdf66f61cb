import { FACTS } from "../trade/facts.ts";
import type { Job } from "./schema.ts";
import { formatLength } from "./units.ts";

/** What is worked with as long as a job leaves these of its ceiling out, because nobody has measured them. */
export const ASSUMED_MM = {
  teeFaceMm: FACTS.wideTeeMm.value,
  wallAngleMm: FACTS.wallAngleMm.value,
  thicknessMm: FACTS.thicknessMm.value,
} as const;

/** Floor to ceiling in mm, as measured or as assumed. */
export const ceilingHeightMm = ({ heightMm, assumedHeightMm }: Job["ceiling"]): number =>
  heightMm ?? assumedHeightMm;

/** What a picture from a seat rests on as long as the ceiling's height is not measured; "" once it is. */
export const heightAssumed = ({ ceiling, units }: Pick<Job, "ceiling" | "units">): string =>
  ceiling.heightMm === undefined
    ? `ceiling height not measured: ${formatLength(ceiling.assumedHeightMm, units)} assumed`
    : "";

/** What templates and cut fabric rest on as long as nobody has measured a tile; "" once it is measured. */
export function tileAssumed({ ceiling: { grid } }: Pick<Job, "ceiling">): string {
  const open = [
    ...(grid.tileMm === undefined || grid.tileMm.includes(null) ? ["size"] : []),
    ...(grid.thicknessMm === undefined ? ["thickness"] : []),
  ];
  if (open.length === 0) return "";
  const usual = open.length === 1 ? `a usual ${open[0]} is` : "usual ones are";
  return `The ${open.join(" and ")} of a tile ${open.length === 1 ? "is" : "are"} not measured: ${usual} assumed.`;
}
