import { whyNot } from "../ceiling/find.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { toMm, toUm } from "../geometry/um.ts";
import { inBoth } from "../job/faults.ts";
import { formatLength, type LengthUnits } from "../job/units.ts";
import type { ByHand } from "../job/sections/pattern.ts";
import type { SkyFrame } from "../sky/types.ts";
import { Board, FILLER } from "./board.ts";
import type { TilePoint } from "./corners.ts";
import { holeMm, type Strung } from "./packing.ts";
import type { Strands } from "./rungs.ts";
import { indexOfObjects, type SkyObjects } from "./objects.ts";
import type { Found } from "./standing.ts";
import type { Room } from "./room.ts";
import type { ByHandReport } from "./types.ts";

/** A hole that a person decided on: of a sky object, or FILLER. */
export interface HandHole extends TilePoint {
  object: number;
  /** Strands asked for, if any. */
  strung: Strung | null;
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
 * What of the decisions by hand can be kept in the sky with the id `night`: its pins first, then added holes, each in the order of the job.
 * Hard rules stand above them; a decision that breaks one is reported and left out.
 */
export function planByHand({
  decisions,
  night,
  objects,
  frame,
  ceiling,
  room,
  spacingUm,
  strands,
  stock,
  largestHoleMm,
  found,
}: {
  decisions: ByHand[];
  night: string;
  objects: SkyObjects;
  frame: SkyFrame;
  ceiling: Ceiling;
  room: Room;
  spacingUm: number;
  strands: number;
  stock: Strands[];
  largestHoleMm: number;
  found: Found;
}): HandPlan {
  const reports = decisions.map((_, index): ByHandReport => ({ index, kept: true, why: "" }));
  const plan: HandPlan = { holes: [], omitted: new Map(), reports };
  if (!decisions.length) return plan;
  const refuse = (index: number, words: string | ((units: LengthUnits) => string)) => {
    const why = typeof words === "string" ? { why: words } : inBoth((units) => ({ why: words(units) }));
    reports[index] = { index, kept: false, ...why };
  };
  const indexOf = indexOfObjects(objects, frame);
  const board = new Board(room, spacingUm, strands + found.holes.length);
  for (const { x, y, tile, object } of found.holes) board.add(x, y, tile, object, true);
  const decidedBy: number[] = [];
  const pinnedBy = new Map<number, number>();
  const left = new Map<number, number>();
  for (const { diameterMm, count } of stock) left.set(diameterMm, (left.get(diameterMm) ?? 0) + count);

  const standing = new Map(found.holes.map(({ object, hole }) => [object, hole]));
  decisions.forEach((d, index) => {
    const i = d.do === "omit" ? indexOf.get(d.what) : undefined;
    const issued = i === undefined ? undefined : standing.get(i);
    if (issued) refuse(index, `its hole is issued (${issued.tile}, number ${issued.numberInTile})`);
    else if (d.do === "omit" && i !== undefined && !plan.omitted.has(i)) plan.omitted.set(i, d.why);
  });
  let used = 0;
  const place = (
    index: number,
    { diameterMm, strands: own = 1 }: Extract<ByHand, { do: "pin" | "add" }>,
    { x, y, object, name = "" }: { x: number; y: number; object: number; name?: string | undefined },
  ) => {
    // what was decided before the issue, and issued so, is kept by standing there
    if (found.holes.some((hole) => hole.x === x && hole.y === y && hole.object === object)) return;
    const tile = room.tileAt(x, y);
    if (found.shut[tile]) return refuse(index, `tile ${room.tiles[tile]!.tile.name} is issued`);
    const issued = object >= 0 ? standing.get(object) : undefined;
    if (issued) return refuse(index, `its hole is issued (${issued.tile}, number ${issued.numberInTile})`);
    if (tile < 0) return refuse(index, (units) => whyNot(ceiling, x, y, units) || "not in usable area");
    const beside = board
      .within(x, y, spacingUm)
      .find((id) => (board.x[id]! - x) ** 2 + (board.y[id]! - y) ** 2 < spacingUm ** 2);
    if (beside !== undefined)
      return refuse(index, (units) => {
        const by = decidedBy[beside];
        const whose = by === undefined ? "an issued hole" : `the hole of decision ${by + 1} by hand`;
        return `nearer than ${formatLength(toMm(spacingUm), units)} to ${whose}`;
      });
    const strung = diameterMm === undefined ? null : { diameterMm, strands: own };
    const takes = strung?.strands ?? 1;
    if (used + takes > strands)
      return refuse(index, `all ${strands} strands are used by other decisions by hand`);
    if (strung) {
      const count = left.get(strung.diameterMm) ?? 0;
      if (count < takes)
        return refuse(
          index,
          takes === 1
            ? `no ${diameterMm} mm strand ${left.has(strung.diameterMm) ? "is left" : "is"} in stock`
            : `${takes} strands of ${diameterMm} mm are asked for and ${count} are left in stock`,
        );
      if (takes > 1 && holeMm(strung) > largestHoleMm)
        return refuse(
          index,
          `${takes} strands of ${diameterMm} mm need a hole of ${holeMm(strung)} mm, and the largest allowed is ${largestHoleMm} mm (strands.largestHoleMm)`,
        );
      left.set(strung.diameterMm, count - takes);
    }
    used += takes;
    decidedBy[board.add(x, y, tile, object, true)] = index;
    plan.holes.push({ x, y, tile, object, strung, name });
  };
  decisions.forEach((d, index) => {
    if (d.do !== "pin") return;
    if (d.night !== night) return refuse(index, `it was pinned in another night (${d.night}) and doesn't apply in this one`); // prettier-ignore
    const i = indexOf.get(d.what);
    const name = typeof d.what === "number" ? `star ${d.what}` : d.what;
    if (i === undefined) return refuse(index, `${name} isn't on this ceiling under this sky`);
    if (plan.omitted.has(i)) return refuse(index, `${name} is left out by hand`);
    if (pinnedBy.has(i))
      return refuse(index, `${name} is pinned already by decision ${pinnedBy.get(i)! + 1}`);
    const [x, y] = d.offsetMm
      ? [objects.x[i]! + toUm(d.offsetMm[0]), objects.y[i]! + toUm(d.offsetMm[1])]
      : [toUm(d.atMm![0]), toUm(d.atMm![1])];
    place(index, d, { x, y, object: i });
    if (reports[index]!.kept) pinnedBy.set(i, index);
  });
  decisions.forEach((d, index) => {
    if (d.do === "add")
      place(index, d, { x: toUm(d.atMm[0]), y: toUm(d.atMm[1]), object: FILLER, name: d.name });
  });
  return plan;
}
