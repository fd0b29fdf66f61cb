import { whyNot } from "../ceiling/find.ts";
import type { Ceiling } from "../ceiling/types.ts";
import { HD_BASE } from "../sky/starFile.ts";
import { toMm } from "../geometry/um.ts";
import type { LengthUnits } from "../job/units.ts";
import { Fate } from "./fate.ts";
import type { Identity } from "./objects.ts";
import type { Settlement } from "./settlement.ts";
import type { LostReason, LostStar } from "./types.ts";

/** The objects that have no hole of their own: who joined whom, and why the rest. */
export interface Account {
  /** Index of the faintest object with a hole, those beyond the limit left aside; -1 where there is none. */
  faintest: number;
  /** For each object that joined another: whom. */
  joined: Map<number, number>;
  lost: LostStar[];
}

/**
 * Accounts for every object on the ceiling brighter than the faintest used: a hole, merged or lost, once each.
 * Fainter ones are named only where they had their turn and joined another.
 */
export function accountFor(
  s: Settlement,
  ceiling: Ceiling,
  omitted: Map<number, string>,
  identityOf: (i: number) => Identity,
): Account {
  const { objects } = s.input;
  let faintest = objects.count - 1;
  while (faintest >= 0 && (s.fate[faintest] !== Fate.placed || s.deeper[faintest])) faintest--;
  const account: Account = { faintest, joined: new Map(), lost: [] };
  for (let i = 0; i <= faintest || i < s.cursor; i++) {
    if (s.fate[i] === Fate.placed) continue;
    const [reason, detail] = reasonFor(i, "mm");
    const inFeet = reasonFor(i, "ft-in")[1];
    if (i > faintest && reason !== "merged") continue;
    if (reason === "merged") account.joined.set(i, s.brighterBeside(i));
    const { star, name } = identityOf(i);
    account.lost.push({
      star,
      name,
      magnitude: objects.magnitudeMilli[i]! / 1000,
      trueXMm: toMm(objects.x[i]!),
      trueYMm: toMm(objects.y[i]!),
      reason,
      detail,
      ...(inFeet === detail ? {} : { inFeet: { detail: inFeet } }),
      inFigure: objects.inFigure[i] === 1,
    });
  }
  return account;

  function reasonFor(i: number, units: LengthUnits): [LostReason, string] {
    if (s.fate[i] === Fate.omitted) return ["left out by hand", omitted.get(i) ?? ""];
    const brighter = s.brighterBeside(i);
    if (brighter >= 0) return ["merged", labelOf(brighter)];
    if (s.fate[i] === Fate.noSpot) return ["no free spot within reach", inTheWay(i, units)];
    if (s.fate[i] === Fate.air) return ["gives air to a constellation", labelOf(s.givesAirTo(i))];
    if (s.fate[i] === Fate.issued) return ["its tile is issued", ""];
    if (s.fate[i] === Fate.tileFull) return ["tile has its share", ""];
    return ["no strand left", ""];
  }

  function labelOf(i: number): string {
    const { star, name } = identityOf(i);
    const number = star === null || star >= HD_BASE ? "" : `HIP ${star}`;
    return name === "" || name === number ? number : number ? `${name}, ${number}` : name;
  }

  function inTheWay(i: number, units: LengthUnits): string {
    const { board } = s.input;
    const x = objects.x[i]!;
    const y = objects.y[i]!;
    const rule = whyNot(ceiling, x, y, units);
    if (rule) return rule;
    const holes = board.within(x, y, board.spacingUm).sort((p, q) => board.object[p]! - board.object[q]!);
    const inWay = holes.find((id) => board.object[id]! >= 0);
    return inWay === undefined ? "a hole placed by hand" : `the hole of ${labelOf(board.object[inWay]!)}`;
  }
}
