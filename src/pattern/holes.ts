import type { Tile } from "../ceiling/types.ts";
import { toMm } from "../geometry/um.ts";
import type { HandPlan } from "./byHand.ts";
import { assignStrands } from "./diameters.ts";
import type { Scale } from "./ladder.ts";
import { lightOf, magnitudeOf } from "./light.ts";
import type { Account } from "./lost.ts";
import { numberingOrder } from "./number.ts";
import type { Identity } from "./objects.ts";
import type { Strung } from "./packing.ts";
import type { LadderSettings, Strands } from "./rungs.ts";
import type { Settlement } from "./settlement.ts";
import { standingIds, type Found } from "./standing.ts";
import type { Hole } from "./types.ts";
import { widen } from "./widen.ts";

/**
 * The finished holes from the settled board, those that stand already left out: magnitudes with what joined them, strands, numbers; and how many of several
 * strands found no place as wide as they are.
 */
export function makeHoles({
  settlement: s,
  account,
  byHand,
  strands: { stock, use, scale, settings },
  identityOf,
  found,
}: {
  settlement: Settlement;
  account: Account;
  byHand: HandPlan;
  strands: { stock: Strands[]; use: number; scale: Scale; settings: LadderSettings };
  identityOf: (i: number) => Identity;
  found: Found;
}): { holes: Hole[]; tight: number } {
  const { board, objects, room } = s.input;
  const merged = new Map<number, number[]>();
  for (const [i, into] of account.joined) {
    const joined = merged.get(into);
    if (joined) joined.push(i);
    else merged.set(into, [i]);
  }
  const magnitudeMilli = (i: number) => {
    const joined = merged.get(i);
    if (!joined) return objects.magnitudeMilli[i]!;
    return magnitudeOf(
      joined.reduce(
        (sum, j) => sum + lightOf(objects.magnitudeMilli[j]!),
        lightOf(objects.magnitudeMilli[i]!),
      ),
    );
  };

  const standing = standingIds(s, found);
  const ids = board.ids().filter((id) => !standing.has(id));
  const asked = new Map<number, Strung>();
  for (const h of byHand.holes)
    if (h.strung)
      asked.set(
        ids.find((id) => board.x[id] === h.x && board.y[id] === h.y)!,
        h.strung,
      );
  const isDust = (id: number) => board.object[id]! < 0 || s.deeper[board.object[id]!] === 1;
  const real = ids
    .filter((id) => !isDust(id))
    .map((id) => ({ id, object: board.object[id]!, milli: magnitudeMilli(board.object[id]!) }))
    .sort((p, q) => p.milli - q.milli || p.object - q.object);
  const ladder = real.filter(({ id }) => !asked.has(id));
  const named = new Map(
    byHand.holes
      .filter((h) => h.name !== "")
      .map((h) => [ids.find((id) => board.x[id] === h.x && board.y[id] === h.y)!, h.name]),
  );
  // the thinnest strands go to invented points and the faintest stars
  const faintness = (id: number) =>
    board.object[id]! < 0 ? Infinity : objects.magnitudeMilli[board.object[id]!]!;
  const dust = ids.filter((id) => isDust(id) && !asked.has(id));
  dust.sort((p, q) => (faintness(p) === faintness(q) ? p - q : faintness(q) - faintness(p)));
  const rest = stock.map(({ diameterMm, count }) => ({ diameterMm, count }));
  let left = use;
  for (const { diameterMm, strands } of asked.values()) {
    left -= strands;
    rest.find((k) => k.diameterMm === diameterMm && k.count >= strands)!.count -= strands;
  }
  const given = assignStrands({
    magnitudesMilli: ladder.map((r) => r.milli),
    filler: dust.length,
    stock: rest,
    use: left,
    scale,
    settings,
  });
  const strungOf = new Map<number, Strung>([...standing, ...asked]);
  const milliOf = (id: number) => magnitudeMilli(board.object[id]!);
  ladder.forEach((r, k) => strungOf.set(r.id, given.real[k]!));
  dust.forEach((id, k) => strungOf.set(id, given.filler[k]!));

  const reaches = (id: number, x: number, y: number) => {
    const i = board.object[id]!;
    return i < 0 || (objects.x[i]! - x) ** 2 + (objects.y[i]! - y) ** 2 <= s.reachOf(i) ** 2;
  };
  const tight = widen(room, board, ids, strungOf, reaches).length;

  const tileOf = (id: number) => room.tiles[board.tile[id]!]!.tile;
  const order = numberingOrder(
    ids.map((id) => board.x[id]!),
    ids.map((id) => board.y[id]!),
    ids.map(tileOf),
  );
  // in the order of numbering the holes of a tile follow each other
  let last: Tile | null = null;
  let number = 0;
  const holes = order.map((k, index): Hole => {
    const id = ids[k]!;
    const i = board.object[id]!;
    const x = board.x[id]!;
    const y = board.y[id]!;
    const tile = tileOf(id);
    number = tile === last ? number + 1 : 1;
    last = tile;
    const { diameterMm, strands } = strungOf.get(id)!;
    const identity = i < 0 ? null : identityOf(i);
    return {
      id: index + 1,
      tile: tile.name,
      numberInTile: number,
      kind: identity?.kind ?? "filler",
      star: identity?.star ?? null,
      name: identity?.name ?? named.get(id) ?? "",
      magnitude: i < 0 ? null : milliOf(id) / 1000,
      colourBv: identity?.colourBv ?? null,
      trueXMm: i < 0 ? null : toMm(objects.x[i]!),
      trueYMm: i < 0 ? null : toMm(objects.y[i]!),
      xMm: toMm(x),
      yMm: toMm(y),
      tileXMm: toMm(x - tile.box.minX),
      tileYMm: toMm(y - tile.box.minY),
      diameterMm,
      strands,
      movedMm: i < 0 ? 0 : toMm(s.moveOf(i)),
      merged: (merged.get(i) ?? []).map((j) => identityOf(j).id),
      byHand: board.fixed[id]!,
      deeper: i >= 0 && s.deeper[i] === 1,
      inFigure: i >= 0 && objects.inFigure[i] === 1,
    };
  });
  return { holes, tight };
}
