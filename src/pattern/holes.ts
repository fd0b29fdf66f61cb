import { toMm } from "../geometry/um.ts";
import type { HandPlan } from "./byHand.ts";
import { assignDiameters, type Strands } from "./diameters.ts";
import { lightOf, magnitudeOf } from "./light.ts";
import type { Account } from "./lost.ts";
import { numberingOrder } from "./number.ts";
import type { Identity } from "./objects.ts";
import type { Settlement } from "./settlement.ts";
import type { Hole } from "./types.ts";

/** The finished holes from the settled board: magnitudes with what joined them, strands, numbers. */
export function makeHoles(
  s: Settlement,
  account: Account,
  byHand: HandPlan,
  stock: Strands[],
  identityOf: (i: number) => Identity,
): Hole[] {
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

  const ids = board.ids();
  const real = ids
    .filter((id) => board.object[id]! >= 0)
    .map((id) => ({ id, object: board.object[id]!, milli: magnitudeMilli(board.object[id]!) }))
    .sort((p, q) => p.milli - q.milli || p.object - q.object);
  const asked = new Map<number, number>();
  for (const h of byHand.holes)
    if (h.diameterMm !== null)
      asked.set(
        ids.find((id) => board.x[id] === h.x && board.y[id] === h.y)!,
        h.diameterMm,
      );
  const named = new Map(
    byHand.holes
      .filter((h) => h.name !== "")
      .map((h) => [ids.find((id) => board.x[id] === h.x && board.y[id] === h.y)!, h.name]),
  );
  const filler = ids.filter((id) => board.object[id]! < 0 && !asked.has(id));
  const rest = stock.map(({ diameterMm, count }) => ({ diameterMm, count }));
  for (const diameterMm of asked.values())
    rest.find((k) => k.diameterMm === diameterMm && k.count > 0)!.count--;
  const strands = assignDiameters(
    real.map((r) => r.milli),
    filler.length,
    rest,
  );
  const diameterOf = new Map(asked);
  const milliOf = new Map(real.map((r) => [r.id, r.milli]));
  real.forEach((r, k) => diameterOf.set(r.id, strands.real[k]!));
  filler.forEach((id, k) => diameterOf.set(id, strands.filler[k]!));

  const tileOf = (id: number) => room.tiles[board.tile[id]!]!.tile;
  const order = numberingOrder(
    ids.map((id) => board.x[id]!),
    ids.map((id) => board.y[id]!),
    ids.map(tileOf),
  );
  const numbers = new Map<string, number>();
  return order.map((k, index): Hole => {
    const id = ids[k]!;
    const i = board.object[id]!;
    const x = board.x[id]!;
    const y = board.y[id]!;
    const tile = tileOf(id);
    numbers.set(tile.name, (numbers.get(tile.name) ?? 0) + 1);
    const identity = i < 0 ? null : identityOf(i);
    return {
      id: index + 1,
      tile: tile.name,
      numberInTile: numbers.get(tile.name)!,
      kind: identity?.kind ?? "filler",
      star: identity?.star ?? null,
      name: identity?.name ?? named.get(id) ?? "",
      magnitude: i < 0 ? null : milliOf.get(id)! / 1000,
      colourBv: identity?.colourBv ?? null,
      trueXMm: i < 0 ? null : toMm(objects.x[i]!),
      trueYMm: i < 0 ? null : toMm(objects.y[i]!),
      xMm: toMm(x),
      yMm: toMm(y),
      tileXMm: toMm(x - tile.box.minX),
      tileYMm: toMm(y - tile.box.minY),
      diameterMm: diameterOf.get(id)!,
      movedMm: i < 0 ? 0 : s.moveOf(i) / 1000,
      merged: (merged.get(i) ?? []).map((j) => identityOf(j).id),
      byHand: board.fixed[id]!,
      inFigure: i >= 0 && objects.inFigure[i] === 1,
    };
  });
}
