import type { Ceiling } from "../ceiling/types.ts";
import { toUm } from "../geometry/um.ts";
import type { Job } from "../job/schema.ts";
import type { Catalog, ProjectedSky, Projection, SkyFrame } from "../sky/types.ts";
import { Board, FILLER } from "./board.ts";
import { planByHand, type HandHole, type HandPlan } from "./byHand.ts";
import { Easing } from "./easing.ts";
import { spacingInUm } from "./canPlace.ts";
import { fillerDensity, skyCells, type Density, type SkyCells } from "./density.ts";
import { tileQuotas } from "./evenness.ts";
import { drawDeeper } from "./deeper.ts";
import { measureFidelity } from "./fidelity.ts";
import { addFiller, type Filling } from "./filler.ts";
import { makeHoles } from "./holes.ts";
import { planLadder, type Scale } from "./ladder.ts";
import { measureLikeness } from "./likeness.ts";
import { accountFor } from "./lost.ts";
import { identify, matterRange, objectsOnCeiling, type Identity, type SkyObjects } from "./objects.ts";
import { seededRandom } from "./random.ts";
import { Room } from "./room.ts";
import { spareOf, withoutThinnest, type Strands } from "./rungs.ts";
import { settle } from "./settle.ts";
import { Settlement } from "./settlement.ts";
import { amongStanding, findStanding, seeking, settleStanding, type Found } from "./standing.ts";
import type { Hole, Pattern, Standing } from "./types.ts";

export { canPlace } from "./canPlace.ts";

export interface PatternInput {
  catalog: Catalog;
  /** Id of the sky, for what was decided by hand in it. */
  night: string;
  /** Constellations that matter to the client, by abbreviation. */
  figures: readonly string[];
  frame: SkyFrame;
  projection: Projection;
  /** What the sky puts near the ceiling, in any order. */
  projected: ProjectedSky;
  ceiling: Ceiling;
  strands: Job["strands"];
  pattern: Job["pattern"];
  /** What was issued: it stands, its strands are taken, and everything else settles round it. */
  standing?: Standing;
  /** Called often while settling; may throw to give the plan up. */
  stop?: () => void;
}

/** Counts asked for. */
interface Wanted {
  holes: number;
  real: number;
}

/**
 * Settles the sky on the ceiling: chooses stars, moves them clear of everything in their way, merges what is
 * too close, goes on beyond the limit of brightness along the Milky Way, fills up with invented points where the
 * catalogue ends and gives each hole its strand. The rules are those of "Settling holes" in
 * the design; the same input gives the same holes in every engine, whatever the order of `projected`.
 */
export function makePattern(input: PatternInput): Pattern {
  const { catalog, frame, projection, projected, ceiling, strands, pattern } = input;
  const { room, cells } = madeReady(input);
  const objects = objectsOnCeiling(projected, ceiling, catalog, input.figures);
  const spacingUm = spacingInUm(pattern.spacingMm);
  const inStock = strands.stock.reduce((sum, { count }) => sum + count, 0);
  const found = findStanding(input, objects, room);
  const { stock, use } = found;
  const byHand = planByHand({
    decisions: pattern.byHand,
    night: input.night,
    objects,
    frame,
    ceiling,
    room,
    spacingUm,
    strands: use,
    stock,
    largestHoleMm: strands.largestHoleMm,
    found,
  });
  const { wanted, scale } = wantedHoles(input, objects, byHand, found);
  const density = once(() => fillerDensity(cells(), pattern.milkyWay));

  const easing = new Easing(room, ceiling, toUm(pattern.reachMm));
  const settleWith = (quota: Int32Array | null) =>
    settleSky({ asked: input, room, objects, easing, byHand, wanted, density, quota, found });
  let settled = settleWith(null);
  if (pattern.evenness > 0 && settled.input.board.count > 0) {
    const { board } = settled.input;
    const fixed = new Int32Array(room.tiles.length);
    for (const { tile } of [...byHand.holes, ...found.holes]) fixed[tile]!++;
    settled = settleWith(tileQuotas(room, board.perTile, fixed, pattern.evenness, spacingUm));
  }

  const known = new Map<number, Identity>();
  const identityOf = (i: number) => {
    if (!known.has(i)) known.set(i, identify(objects, i, catalog, frame));
    return known.get(i)!;
  };
  const account = accountFor(settled, ceiling, byHand.omitted, identityOf);
  const likeness = likenessOf(settled, pattern.seed, once(() => fillerDensity(cells(), 1))); // prettier-ignore
  const { holes: own, tight } = makeHoles({
    settlement: settled,
    account,
    byHand,
    strands: { stock, use, scale, settings: strands },
    identityOf,
    found,
  });
  const made = amongStanding(own, input.standing?.holes ?? [], ceiling);
  return {
    holes: made,
    lost: account.lost,
    byHand: byHand.reports,
    stated: statedAmong(made, byHand),
    fidelity: measureFidelity({
      holes: made,
      settlement: settled,
      account,
      catalog,
      projection,
      scale,
      likeness,
    }),
    scale,
    wanted: strands.use ?? inStock,
    shortfall: shortfall(strands.use ?? inStock, inStock, wanted.holes, made.length),
    spare: spareOf(strands.stock, made),
    tight,
  };
}

/** A ceiling made ready, and the cells of the sky last behind it: the same whatever the pattern, so made once. */
interface Ready extends Pick<PatternInput, "frame" | "projection" | "catalog"> {
  room: Room;
  cells: () => SkyCells;
}
const READY = new WeakMap<Ceiling, Ready>();

function madeReady({ ceiling, frame, projection, catalog }: PatternInput): Ready {
  const last = READY.get(ceiling);
  if (last?.frame === frame && last.projection === projection && last.catalog === catalog) return last;
  const room = last?.room ?? new Room(ceiling);
  const cells = once(() => skyCells(room, projection, frame, catalog.milkyWay));
  const ready = { room, cells, frame, projection, catalog };
  READY.set(ceiling, ready);
  return ready;
}

/** Ids of the holes whose strands a person stated. */
function statedAmong(holes: readonly Hole[], byHand: HandPlan): number[] {
  const places = new Set(byHand.holes.flatMap(({ strung, x, y }) => (strung ? `${x},${y}` : [])));
  return holes.filter((h) => places.has(`${toUm(h.xMm)},${toUm(h.yMm)}`)).map(({ id }) => id);
}

function likenessOf({ input: { room, board } }: Settlement, seed: number, milkyWay: () => Density) {
  const places = (ids: number[]) => ({
    x: ids.map((id) => board.x[id]!),
    y: ids.map((id) => board.y[id]!),
    tile: ids.map((id) => board.tile[id]!),
  });
  // a tile whose every place is taken by a zone now has no edges to be near to
  const ids = board.ids().filter((id) => board.tile[id]! >= 0);
  const real = ids.filter((id) => board.object[id] !== FILLER);
  return measureLikeness({
    room,
    all: places(ids),
    real: places(real),
    spacingUm: board.spacingUm,
    seed,
    milkyWay,
  });
}

/**
 * How many holes the strands make: those set aside for stars beyond the limit have one each; the ladder of
 * brightness tells how many real objects the others make, and on which scale.
 */
function wantedHoles(
  { strands, pattern }: PatternInput,
  objects: SkyObjects,
  byHand: HandPlan,
  found: Found,
): { wanted: Wanted; scale: Scale } {
  const { stock, use } = found;
  const asked = byHand.holes.filter(({ strung }) => strung);
  const added = byHand.holes.filter(({ object }) => object === FILLER);
  // what was set by hand has its strands first
  const loose = byHand.holes.reduce((left, { strung }) => left - (strung?.strands ?? 1), use);
  const share = Math.min(Math.round(use * pattern.deeperShare), added.length + Math.max(0, loose));
  const filler = Math.max(share, added.length);
  const thin = filler - added.filter(({ strung }) => strung).length;
  const limit = countTo(objects, pattern.faintestMagnitude);
  const free = seeking(objects.magnitudeMilli.subarray(0, limit), found);
  const usable = free.length;
  const brightestStar = objects.row.findIndex((row) => row >= 0);
  const plan = planLadder({
    milli: free,
    stock: withoutThinnest(withoutAsked(stock, asked), thin),
    use: use - thin - asked.reduce((sum, { strung }) => sum + strung!.strands, 0),
    settings: strands,
    brightestMilli: objects.magnitudeMilli[brightestStar],
    matter: matterRange(objects),
  });
  const real = Math.max(byHand.holes.length - added.length, plan.stars);
  // Where the sky has no more stars, invented points take the thin strands that are left, and that no pinned star needs.
  const more = plan.stars === usable ? Math.max(0, plan.thinLeft - (real - plan.stars)) : 0;
  // Stars pinned beyond the ladder's end take strands from the faint.
  const most = use - asked.reduce((sum, { strung }) => sum + strung!.strands - 1, 0);
  const holes = Math.min(real + filler + more, most) + found.holes.length;
  return { wanted: { real: real + found.claimed, holes }, scale: plan };
}

/** The stock without what a person took from it. */
function withoutAsked(stock: readonly Strands[], asked: readonly HandHole[]): Strands[] {
  return stock.map(({ diameterMm, count }) => {
    const own = asked.filter(({ strung }) => strung!.diameterMm === diameterMm);
    return {
      diameterMm,
      count: Math.max(
        0,
        own.reduce((left, { strung }) => left - strung!.strands, count),
      ),
    };
  });
}

/** One whole settling, from an empty ceiling to the last hole. */
function settleSky({
  asked: { catalog, figures, pattern, stop = () => undefined },
  room,
  objects,
  easing,
  byHand,
  wanted,
  density,
  quota,
  found,
}: {
  asked: PatternInput;
  room: Room;
  objects: SkyObjects;
  easing: Easing;
  byHand: HandPlan;
  wanted: Wanted;
  density: () => Density;
  quota: Int32Array | null;
  found: Found;
}): Settlement {
  const spacingUm = spacingInUm(pattern.spacingMm);
  const board = new Board(room, spacingUm, wanted.holes);
  const fillerThere = new Int32Array(room.tiles.length);
  for (const { object, tile } of [...found.holes, ...byHand.holes])
    if (object === FILLER) fillerThere[tile]!++;
  // where tiles have their shares, the brightest of each tile take them
  const want = quota ? wanted.holes - fillerThere.reduce((sum, n) => sum + n, 0) : wanted.real;
  const settlement = new Settlement({
    room,
    board,
    objects,
    easing,
    stop,
    figures,
    airUm: toUm(pattern.airMm),
    reachUm: toUm(pattern.reachMm),
    brightReachUm: toUm(Math.max(pattern.reachMm, pattern.brightReachMm)),
    want,
    usable: countTo(objects, pattern.faintestMagnitude),
    quota,
    shut: found.shut,
  });
  settleStanding(settlement, found);
  for (const i of byHand.omitted.keys()) settlement.omit(i);
  for (const { object, x, y, tile } of byHand.holes)
    if (object === FILLER) board.add(x, y, tile, FILLER, true);
    else settlement.pin(object, x, y, tile);
  settle(settlement);
  const left = () => wanted.holes - board.count;
  if (left() > 0) {
    const { stars, milkyWay } = catalog;
    drawDeeper(settlement, { stars, milkyWay, strength: pattern.milkyWay, seed: pattern.seed }, left());
  }

  const random = seededRandom(pattern.seed);
  if (left() <= 0) return settlement;
  const filling = { room, board, density: density(), random, shut: found.shut, stop };
  if (!quota) addFiller(filling, left(), null);
  else fillEvenly(filling, wanted.holes, quota);
  return settlement;
}

/** Fills up to the quotas; what a tile can't hold is shared out among those not yet found full. */
function fillEvenly(filling: Filling, goal: number, quota: Int32Array): void {
  const { board } = filling;
  const limits = quota.slice();
  let lacking = limits.reduce((sum, q, t) => sum + Math.max(0, q - board.perTile[t]!), 0);
  let open = [...limits.keys()];
  while (open.length > 0 && board.count < goal) {
    addFiller(filling, Math.min(lacking, goal - board.count), limits);
    open = open.filter((t) => board.perTile[t]! >= limits[t]!);
    lacking = goal - board.count;
    for (const t of limits.keys()) limits[t] = board.perTile[t]!;
    const share = (k: number) => Math.ceil((k * lacking) / open.length);
    open.forEach((t, k) => (limits[t]! += share(k + 1) - share(k)));
  }
}

/** How many objects are no fainter than the limit. */
function countTo(objects: SkyObjects, faintestMagnitude: number | null): number {
  if (faintestMagnitude === null) return objects.count;
  const limit = Math.round(faintestMagnitude * 1000);
  let count = 0;
  while (count < objects.count && objects.magnitudeMilli[count]! <= limit) count++;
  return count;
}

function shortfall(asked: number, inStock: number, holes: number, placed: number): string {
  const missing: string[] = [];
  if (inStock < asked) missing.push(`${asked} strands were asked for and only ${inStock} are in stock`);
  if (placed < holes)
    missing.push(
      `${holes - placed} of ${holes} holes found no place: no free spot is left at this spacing in the usable area of the ceiling`,
    );
  return missing.join("; ");
}

/** Works a value out when it is first needed, and keeps it. */
function once<T>(make: () => T): () => T {
  let made: { value: T } | null = null;
  return () => (made ??= { value: make() }).value;
}
