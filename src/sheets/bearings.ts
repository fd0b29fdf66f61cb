import { FINE_MM } from "./context.ts";
import { mapDirection, viewFrom, type Side } from "../ceiling/flip.ts";
import type { Tile } from "../ceiling/types.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Planned } from "../plan.ts";
import { GREY, WEIGHT, line, text, type Item } from "../drawing/drawing.ts";

/** The wall met on going up the plan from the tile's middle: the arrow of a sheet points at it. */
export function wallAbove(plan: Pick<Planned, "ceiling">, tile: Tile): string {
  const x = (tile.box.minX + tile.box.maxX) / 2;
  const y = (tile.box.minY + tile.box.maxY) / 2;
  let nearest: { name: string; at: number } | null = null;
  for (const { name, fromUm: a, toUm: b } of plan.ceiling.walls) {
    if (a.x <= x === b.x <= x) continue;
    const at = a.y + ((x - a.x) / (b.x - a.x)) * (b.y - a.y);
    if (at >= y && (!nearest || at < nearest.at)) nearest = { name, at };
  }
  return nearest?.name ?? plan.ceiling.walls[0]?.name ?? "";
}

/** To a micrometre: sine and cosine differ in the last bit between engines, sheets must not. */
const micro = (value: number): number => Math.round(value * 1000) / 1000 + 0;

/** Unit vector on the sheet of a compass bearing (degrees from true north). */
export function bearingOnSheet(plan: Planned, bearingDeg: number, side: Side): PointMm {
  const turn = ((bearingDeg - plan.ceiling.bearingDeg) * Math.PI) / 180;
  const { x, y } = mapDirection(viewFrom(side, plan.ceiling.box), { x: Math.sin(turn), y: Math.cos(turn) });
  return [x, y];
}

const measured = ({ job }: Planned): boolean => job.ceiling.bearingFrom !== "not-measured";

/** What stands at a compass's north: asked about where nobody has measured it. */
export const northLetter = (plan: Planned): string => (measured(plan) ? "N" : "N?");

/** To go on with after what a drawing says of itself; "" where north was measured. */
export const northWords = (plan: Planned): string => (measured(plan) ? "" : " North was not measured.");

/** A small compass: arrow to true north, N and E named, so that the sheet's handedness can be seen; an assumed one is hollow. */
export function drawCompass(plan: Planned, side: Side, [x, y]: PointMm, withinMm: number): Item[] {
  // two letters reach farther than one
  const radiusMm = withinMm * (measured(plan) ? 1 : 0.9);
  const north = bearingOnSheet(plan, 0, side);
  const east = bearingOnSheet(plan, 90, side);
  const at = (n: number, e: number): PointMm => [
    micro(x + (north[0] * n + east[0] * e) * radiusMm),
    micro(y + (north[1] * n + east[1] * e) * radiusMm),
  ];
  const thin = { widthMm: WEIGHT.thin, grey: GREY.black };
  const layer = "COMPASS";
  const size = Math.max(radiusMm * 0.5, FINE_MM);
  const letter = (words: string, n: number, e: number): Item => {
    const [lx, ly] = at(n, e);
    return text(layer, [lx, micro(ly - size * 0.36)], words, size, { align: "centre", bold: true });
  };
  return [
    line(layer, at(-0.8, 0), at(0.5, 0), thin),
    line(layer, at(0, -0.6), at(0, 0.6), thin),
    {
      kind: "path",
      layer,
      rings: [[at(0.95, 0), at(0.45, 0.17), at(0.45, -0.17)]],
      closed: true,
      ...(measured(plan) ? { fillGrey: GREY.black } : { stroke: thin }),
    },
    letter(northLetter(plan), 1.32, 0),
    letter("E", 0, 0.92),
  ];
}
