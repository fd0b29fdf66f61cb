import { FACTS } from "../trade/facts.ts";
import type { Job } from "./schema.ts";

/** What is worked with as long as a job leaves these of its ceiling out, because nobody has measured them. */
export const ASSUMED_MM = {
  heightMm: FACTS.ceilingHeightMm.value,
  teeFaceMm: FACTS.wideTeeMm.value,
  wallAngleMm: FACTS.wallAngleMm.value,
  thicknessMm: FACTS.thicknessMm.value,
} as const;

/** Floor to ceiling in mm, as measured or as assumed. */
export const ceilingHeightMm = ({ heightMm }: Job["ceiling"]): number => heightMm ?? ASSUMED_MM.heightMm;
