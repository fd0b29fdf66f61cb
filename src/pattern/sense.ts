import type { Ceiling } from "../ceiling/types.ts";
import { areaMm2 } from "../geometry/area.ts";
import type { Warning } from "../job/faults.ts";
import type { Job } from "../job/schema.ts";
import { formatLength, type LengthUnits } from "../job/units.ts";
import type { Night } from "../job/sections/sky.ts";

/** Of the ceiling, the least that a whole sky should cover. Common practice, no source. */
const LEAST_SKY_SHARE = 0.25;
/** Points at least d apart are at most one to d²√3/2 (Thue 1892, proved by Fejes Tóth 1940). */
const DENSEST = Math.sqrt(3) / 2;
/** Strands that one hole may take. */
const MOST_IN_A_HOLE = 7;

/** Settings that are allowed, can be planned, and make no sense together. Lengths in mm. */
export function senseWarnings(
  job: Pick<Job, "pattern" | "strands" | "units">,
  night: Pick<Night, "view" | "field">,
  at: string,
  ceiling: Ceiling,
): Warning[] {
  return [
    ...reachWarnings(job, ceiling),
    ...skyWarnings(night, at, ceiling, job.units),
    ...spacingWarnings(job, ceiling),
  ];
}

/** Pins made in a night that the job no longer has: they apply nowhere. */
export function strayPinWarnings({ pattern, sky }: Pick<Job, "pattern" | "sky">): Warning[] {
  const nights = new Set(sky.options.map(({ id }) => id));
  return pattern.byHand.flatMap((hand, index): Warning[] =>
    hand.do !== "pin" || nights.has(hand.night)
      ? []
      : [
          {
            code: "by-hand-not-kept",
            message: `This star was pinned in the night "${hand.night}", which the job doesn't have (it has ${[...nights].map((id) => `"${id}"`).join(", ")}), so it applies nowhere. Pin it again in the night wanted, or remove it.`,
            path: `pattern.byHand[${index}].night`,
          },
        ],
  );
}

function reachWarnings({ pattern, units }: Pick<Job, "pattern" | "units">, ceiling: Ceiling): Warning[] {
  const long = (mm: number): string => formatLength(mm, units);
  const { reachMm, brightReachMm } = pattern;
  const halfTileMm = Math.min(...ceiling.grid.moduleMm) / 2;
  const far = (["reachMm", "brightReachMm"] as const)
    .filter((key) => pattern[key] > halfTileMm)
    .map((key): Warning => ({
      code: "reach-too-far",
      message: `A star may be moved by ${long(pattern[key])}, more than half a tile: so far off it is no longer that star's place, and constellations come apart. ${long(25)} for faint and ${long(90)} for bright stars is usual here.`,
      path: `pattern.${key}`,
    }));
  if (brightReachMm >= reachMm) return far;
  const message = `Bright stars may move less (${long(brightReachMm)}) than faint ones (${long(reachMm)}), so that the brightest are the first to be left out.`;
  return [...far, { code: "bright-reach-shorter", message, path: "pattern.brightReachMm" }];
}

/** Where even the farthest point of the horizon comes to lie near the middle, most of the ceiling has no sky. */
function skyWarnings(
  night: Pick<Night, "view" | "field">,
  at: string,
  ceiling: Ceiling,
  units: LengthUnits,
): Warning[] {
  const { halfAngleDeg, radiusMm } = night.field;
  // where the radius is left out it follows from the room
  if (radiusMm === undefined) return [];
  const farthestDeg = 180 - night.view.altitudeDeg;
  const half = (deg: number): number => Math.tan((Math.min(deg, 179) * Math.PI) / 360);
  const skyRadiusMm = (radiusMm * half(farthestDeg)) / half(halfAngleDeg);
  const share = (Math.PI * skyRadiusMm ** 2) / areaMm2(ceiling.outline);
  if (share >= LEAST_SKY_SHARE) return [];
  return [
    {
      code: "sky-in-a-small-circle",
      message: `The whole sky above the horizon is pressed into a circle of ${formatLength(Math.round(2 * skyRadiusMm), units)} across, ${Math.max(1, Math.round(share * 100))} % of the ceiling. Choose a smaller half-angle or a larger radius.`,
      path: `${at}.field`,
    },
  ];
}

function spacingWarnings(
  { pattern, strands, units }: Pick<Job, "pattern" | "strands" | "units">,
  ceiling: Ceiling,
): Warning[] {
  const wanted = strands.use ?? strands.stock.reduce((sum, { count }) => sum + count, 0);
  const usableMm2 = ceiling.tiles.reduce((sum, tile) => sum + tile.usableMm2, 0);
  const most = Math.floor(usableMm2 / (DENSEST * pattern.spacingMm ** 2));
  if (most * MOST_IN_A_HOLE >= wanted) return [];
  return [
    {
      code: "spacing-too-wide",
      message: `Holes ${formatLength(pattern.spacingMm, units)} apart leave room for fewer than ${most + 1}: not for ${wanted} strands, even ${MOST_IN_A_HOLE} to a hole.`,
      path: "pattern.spacingMm",
    },
  ];
}
