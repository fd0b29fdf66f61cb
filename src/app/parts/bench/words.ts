import type { Side } from "../../../ceiling/flip.ts";
import { formatLength, type LengthUnits } from "../../../job/units.ts";
import { zoneOf } from "../../../job/region.ts";
import { dayHere } from "../../../job/writtenTime.ts";
import type { Entry } from "../../../record/entry.ts";
import { studio } from "../../state/studio.svelte.ts";
import { toMm } from "../../../geometry/um.ts";

/** To a tenth of a millimetre: finer nobody measures with a rule. Never broken in two by the end of a line. */
const rule = (mm: number, units: LengthUnits): string =>
  formatLength(Math.round(mm * 10) / 10, units).replaceAll(" ", "\u00a0");

/** Where a hole is from two edges of the tile as it lies there; the datum corner is where they meet. */
export function placeWords(
  { xMm, yMm }: { xMm: number; yMm: number },
  side: Side,
  units: LengthUnits,
): string {
  return `${rule(xMm, units)} from the ${side === "back" ? "left" : "right"} edge, ${rule(yMm, units)} from the lower edge`;
}

/** "Ada, phone, 3 Sept 2029, 14:05" */
export const toldBy = ({ who, device, atMs }: Entry): string =>
  [who || "somebody", device, dayHere(atMs, zoneOf(studio.job))].filter(Boolean).join(", ");

/** What an entry says of a hole. */
export function saidWords(entry: Entry, units: LengthUnits): string {
  if (entry.what === "moved") {
    const [x, y] = entry.byUm.map(toMm) as [number, number];
    const ways = [x !== 0 && `${rule(Math.abs(x), units)} ${x > 0 ? "right" : "left"}`, y !== 0 && `${rule(Math.abs(y), units)} ${y > 0 ? "up" : "down"}`]; // prettier-ignore
    return `moved ${ways.filter(Boolean).join(", ") || "by nothing"} (seen from the back)`;
  }
  if (entry.what === "replaced") return `strand replaced, ${entry.diameterMm} mm`;
  if (entry.what === "dead" || entry.what === "weak" || entry.what === "lit") return `strand ${entry.what}`;
  if (entry.what === "as planned") return "where it was planned";
  return entry.what;
}

/** "1 h 05 min", "12 min" */
export function hoursWords(hours: number): string {
  const minutes = Math.round(hours * 60);
  return minutes < 60
    ? `${minutes} min`
    : `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
}
