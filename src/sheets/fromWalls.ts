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
}

/**
 * A place on the plan by its distance, square, from the two walls that a tape reaches it from: the nearest of
 * those that run more along the plan's x, and of those that run more along its y. A wall counts where the
 * place lies beside it, not past its end; a room without such a wall on one axis gives one distance only.
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
      if (along < 0 || along > length) continue;
      const away = (inside * (dx * (y - ay) - dy * (x - ax))) / length;
      if (!best || Math.abs(away) < best.mm) best = { wall: name, mm: Math.abs(away), behind: away < 0 };
    }
    return best ? [best] : [];
  });
}

/** "1200 mm from the bar wall, 250 mm behind the east wall", to whole millimetres or sixteenths of an inch. */
export function fromWallsWords({ plan, clean }: SheetContext, place: PointMm): string {
  const { units } = plan.job;
  const words = fromWalls(plan, place).map(({ wall, mm, behind }) => {
    const length = formatLength(units === "ft-in" ? mm : Math.round(mm), units);
    return `${length} ${behind ? "behind" : "from"} ${clean(wall)}`;
  });
  if (words.length > 0) return words.join(", ");
  return place.map((mm) => formatLength(mm, units)).join(" right, ") + " up from the plan's lower left";
}
