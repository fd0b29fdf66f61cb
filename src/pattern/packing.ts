import { toUm } from "../geometry/um.ts";
/** More strands than this are not packed into one hole: seven fill a circle of three diameters. */
export const MOST_IN_HOLE = 7;

/**
 * Radius of the smallest circle round k equal circles, over theirs, for k = 1 to 7 (Kravitz, "Packing cylinders
 * into cylindrical containers", Mathematics Magazine 40, 1967; proofs: Graham 1968 and before).
 */
const CIRCLE_ROUND = [
  1,
  2,
  1 + 2 / Math.sqrt(3),
  1 + Math.sqrt(2),
  1 + Math.sqrt(2 + 2 / Math.sqrt(5)),
  3,
  3,
] as const;

/** Strands that share a hole. */
export interface Strung {
  /** Of one strand. */
  diameterMm: number;
  strands: number;
}

/** What to drill: the smallest round hole that takes the strands of a hole, in mm, whole micrometres upward. */
export function holeMm({ diameterMm, strands }: Strung): number {
  return Math.ceil(CIRCLE_ROUND[strands - 1]! * diameterMm * 1000 - 1e-6) / 1000;
}

/** `holeMm` as a drill is bought: up to the next tenth of a millimetre. */
export const drillMm = (hole: Strung): number => Math.ceil(holeMm(hole) * 10 - 1e-6) / 10;

/** Light of a hole as the summed areas of its strands' ends, in squared micrometres of diameter: whole, exact. */
export function holeLight({ diameterMm, strands }: Strung): number {
  const um = toUm(diameterMm);
  return strands * um * um;
}

/** "3 × 1.5 mm", or "1.5 mm" for a strand alone. */
export const strungWords = ({ diameterMm, strands }: Strung): string =>
  strands > 1 ? `${strands} × ${diameterMm} mm` : `${diameterMm} mm`;

/** Strands of so many holes. */
export const countStrands = (holes: readonly Pick<Strung, "strands">[]): number =>
  holes.reduce((sum, { strands }) => sum + strands, 0);
