import { kindWords } from "../job/noGoKinds.ts";
import { areaOf, circleArea, grow, ROUNDING_UM } from "../geometry/area.ts";
import { pointToUm, toUm } from "../geometry/um.ts";
import type { Area, PointUm } from "../geometry/types.ts";
import type { NoGo } from "../job/sections/ceiling.ts";
import type { Ceiling } from "./types.ts";

/** Sine and cosine are kept to nine digits, which every engine gives alike; 60 m away that is 0.06 um. */
const NINE_DIGITS = 1e9;

/** The bare shape of a no-go zone, in micrometres. Throws RangeError where it has none. */
export function zoneShape(zone: NoGo): Area {
  if (zone.circle)
    return circleArea(pointToUm(zone.circle.centreMm), Math.max(1, toUm(zone.circle.radiusMm)));
  if (zone.polygonMm) return areaOf(zone.polygonMm.map(pointToUm));
  if (zone.rectangle) return areaOf(turnedRectangle(zone.rectangle));
  throw new RangeError("a no-go zone needs a circle, a polygon or a rectangle");
}

/** A no-go zone with its clearance round it: what no hole may touch. Rounding never eats into it. */
export function grownZone(zone: NoGo): Area {
  const clearanceUm = toUm(zone.clearanceMm) + ROUNDING_UM;
  if (zone.circle)
    return circleArea(pointToUm(zone.circle.centreMm), toUm(zone.circle.radiusMm) + clearanceUm);
  return grow(zoneShape(zone), clearanceUm);
}

/** Every zone of a ceiling with its shape and its grown shape. */
export function zonesOf(noGo: NoGo[]): Ceiling["noGo"] {
  return noGo.map((source, index) => ({ source, index, shape: zoneShape(source), grown: grownZone(source) }));
}

/** "sprinkler 'head 1'", or "sprinkler (no-go zone 3)" where it has no name. */
export function zoneName(zone: NoGo, index: number): string {
  const kind = zone.kind === "other" ? "no-go zone" : kindWords(zone.kind);
  return zone.name ? `${kind} '${zone.name}'` : `${kind} (no-go zone ${index + 1})`;
}

/** Corners of a rectangle turned clockwise, as seen on the plan, about its centre. */
function turnedRectangle({ cornerMm, sizeMm, turnDeg }: NonNullable<NoGo["rectangle"]>): PointUm[] {
  const radians = (turnDeg * Math.PI) / 180;
  const cos = Math.round(Math.cos(radians) * NINE_DIGITS) / NINE_DIGITS;
  const sin = Math.round(Math.sin(radians) * NINE_DIGITS) / NINE_DIGITS;
  const halfX = sizeMm[0] / 2;
  const halfY = sizeMm[1] / 2;
  const corners = [
    [-halfX, -halfY],
    [halfX, -halfY],
    [halfX, halfY],
    [-halfX, halfY],
  ] as const;
  return corners.map(([x, y]) =>
    pointToUm([cornerMm[0] + halfX + x * cos + y * sin, cornerMm[1] + halfY - x * sin + y * cos]),
  );
}
