import { whyNot } from "../ceiling/find.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { formatLength, type LengthUnits } from "../job/units.ts";
import { toUm } from "../geometry/um.ts";
import type { Hole } from "./types.ts";

/**
 * The hard rule, in words, that forbids a hole at a point (whole micrometres on the plan), or "" where one may
 * lie. `exceptId` is the hole being moved. `spacingMm` is the smallest distance between holes.
 */
export function canPlace(
  [xUm, yUm]: readonly [number, number],
  {
    ceiling,
    holes,
    spacingMm,
    exceptId,
    units = "mm",
  }: {
    ceiling: Ceiling;
    holes: readonly Hole[];
    spacingMm: number;
    exceptId?: number | undefined;
    units?: LengthUnits;
  },
): string {
  const rule = whyNot(ceiling, xUm, yUm, units);
  if (rule) return rule;
  const spacingUm = spacingInUm(spacingMm);
  for (const hole of holes) {
    if (hole.id === exceptId) continue;
    const dx = toUm(hole.xMm) - xUm;
    const dy = toUm(hole.yMm) - yUm;
    if (dx * dx + dy * dy < spacingUm * spacingUm)
      return `nearer than ${formatLength(spacingMm, units)} to hole ${hole.tile} ${hole.numberInTile}`;
  }
  return "";
}

/** Spacing in whole micrometres, never less than asked. */
export const spacingInUm = (spacingMm: number): number => Math.ceil(Math.round(spacingMm * 1e6) / 1000);
