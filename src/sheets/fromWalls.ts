import { formatLength } from "../job/units.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Plan } from "../plan.ts";
import type { SheetContext } from "./context.ts";
import { toMm } from "../geometry/um.ts";

export interface FromWall {
  wall: string;
  mm: number;
  /** The place lies on the far side of the wall, outside the room. */
  behind: boolean;
  /** 0 beside the wall; else how far past its end the place lies, measured from where the wall would run on. */
  pastMm: number;
}

/**
 * A place on the plan by its distance, square, from the two walls that a tape reaches it from: the nearest of
 * those that run more along the plan's x, and of those that run more along its y. A wall that the place lies
 * beside comes before one whose end it lies past; of those the one with the nearest end (an engine behind a wall).
 */
export function fromWalls({ ceiling }: Pick<Plan, "ceiling">, [x, y]: PointMm): FromWall[] {
  const { walls } = ceiling;
  const twiceArea = walls.reduce((sum, { fromUm: a, toUm: b }) => sum + a.x * b.y - b.x * a.y, 0);
  const inside = twiceArea > 0 ? 1 : -1;
  return [true, false].flatMap((upright): FromWall[] => {
    let best: FromWall | null = null;
    for (const { name, fromUm, toUm } of walls) {
      const [ax, ay] = [toMm(fromUm.x), toMm(fromUm.y)];
      const [dx, dy] = [toMm(toUm.x) - ax, toMm(toUm.y) - ay];
      const length = Math.hypot(dx, dy);
      if (length === 0 || Math.abs(dy) > Math.abs(dx) !== upright) continue;
      const along = ((x - ax) * dx + (y - ay) * dy) / length;
      // to the micrometre: of two walls that end alike far off the nearer counts
      const pastMm = Math.round(1000 * Math.max(0, -along, along - length)) / 1000;
      const away = (inside * (dx * (y - ay) - dy * (x - ax))) / length;
      const mm = Math.abs(away);
      if (!best || pastMm < best.pastMm || (pastMm === best.pastMm && mm < best.mm))
        best = { wall: name, mm, behind: away < 0, pastMm };
    }
    return best ? [best] : [];
  });
}

/** "1200 mm from the bar wall, 250 mm behind the east wall", to whole millimetres or sixteenths of an inch. */
export function fromWallsWords({ plan, clean }: SheetContext, place: PointMm): string {
  const { units } = plan.job;
  const words = fromWalls(plan, place).map(({ wall, mm, behind, pastMm }) => {
    const length = formatLength(units === "ft-in" ? mm : Math.round(mm), units);
    return `${length} ${behind ? "behind" : "from"} ${pastMm > 0 ? "the line of " : ""}${clean(wall)}`;
  });
  if (words.length > 0) return words.join(", ");
  return place.map((mm) => formatLength(mm, units)).join(" right, ") + " up from the plan's lower left";
}
