import { whyNot } from "../ceiling/find.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { toUm } from "../geometry/um.ts";
import type { ByHand } from "../job/sections/pattern.ts";
import type { SkyFrame } from "../sky/types.ts";
import { Board, FILLER } from "./board.ts";
import type { Place } from "./corners.ts";
import type { Strands } from "./diameters.ts";
import { indexOfObjects, type SkyObjects } from "./objects.ts";
import type { Room } from "./room.ts";
import type { ByHandReport } from "./types.ts";

/** A hole that a person decided on: of a sky object, or FILLER. */
export interface HandHole extends Place {
  object: number;
  /** Strand asked for, if any. */
  diameterMm: number | null;
  /** As typed for an added star; "" otherwise. */
  name: string;
}

export interface HandPlan {
  holes: HandHole[];
  /** Omitted objects, and why. */
  omitted: Map<number, string>;
  reports: ByHandReport[];
}

/**
 * What of the decisions by hand can be kept: pins first, then added holes, each in the order of the job.
 * Hard rules stand above them; a decision that breaks one is reported and left out.
 */
export function planByHand(
  decisions: ByHand[],
  objects: SkyObjects,
  frame: SkyFrame,
  ceiling: Ceiling,
  room: Room,
  spacingUm: number,
  strands: number,
  stock: Strands[],
): HandPlan {
  const reports = decisions.map((_, index): ByHandReport => ({ index, kept: true, why: "" }));
  const plan: HandPlan = { holes: [], omitted: new Map(), reports };
  if (!decisions.length) return plan;
  const refuse = (index: number, why: string) => (reports[index] = { index, kept: false, why });
  const indexOf = indexOfObjects(objects, frame);
  const board = new Board(room, spacingUm, strands);
  const decidedBy: number[] = [];
  const pinnedBy = new Map<number, number>();
  const left = new Map<number, number>();
  for (const { diameterMm, count } of stock) left.set(diameterMm, (left.get(diameterMm) ?? 0) + count);

  decisions.forEach((d) => {
    const i = d.do === "omit" ? indexOf.get(d.what) : undefined;
    if (d.do === "omit" && i !== undefined && !plan.omitted.has(i)) plan.omitted.set(i, d.why);
  });
  const place = (
    index: number,
    atMm: [number, number],
    object: number,
    diameterMm: number | null,
    name = "",
  ) => {
    const x = toUm(atMm[0]);
    const y = toUm(atMm[1]);
    const tile = room.tileAt(x, y);
    if (tile < 0) return refuse(index, whyNot(ceiling, x, y) || "not in usable area");
    const beside = board
      .within(x, y, spacingUm)
      .find((id) => (board.x[id]! - x) ** 2 + (board.y[id]! - y) ** 2 < spacingUm ** 2);
    if (beside !== undefined)
      return refuse(
        index,
        `nearer than ${spacingUm / 1000} mm to the hole of decision ${decidedBy[beside]! + 1} by hand`,
      );
    if (board.count >= strands)
      return refuse(index, `all ${strands} strands are used by other decisions by hand`);
    if (diameterMm !== null) {
      const count = left.get(diameterMm) ?? 0;
      if (count <= 0)
        return refuse(
          index,
          `no ${diameterMm} mm strand ${left.has(diameterMm) ? "is left" : "is"} in stock`,
        );
      left.set(diameterMm, count - 1);
    }
    decidedBy[board.add(x, y, tile, object, true)] = index;
    plan.holes.push({ x, y, tile, object, diameterMm, name });
  };
  decisions.forEach((d, index) => {
    if (d.do !== "pin") return;
    const i = indexOf.get(d.what);
    const name = typeof d.what === "number" ? `star ${d.what}` : d.what;
    if (i === undefined) return refuse(index, `${name} isn't on this ceiling under this sky`);
    if (plan.omitted.has(i)) return refuse(index, `${name} is omitted by hand`);
    if (pinnedBy.has(i))
      return refuse(index, `${name} is pinned already by decision ${pinnedBy.get(i)! + 1}`);
    place(index, d.atMm, i, null);
    if (reports[index]!.kept) pinnedBy.set(i, index);
  });
  decisions.forEach((d, index) => {
    if (d.do === "add") place(index, d.atMm, FILLER, d.diameterMm ?? null, d.name);
  });
  return plan;
}
