import { groupBy } from "../groupBy.ts";
import type { Tile } from "../ceiling/types.ts";
import type { Reading } from "./judge.ts";
import { toPicture, toPlan } from "./lens.ts";
import type { Placing } from "./locate.ts";
import { Near, median } from "./near.ts";
import { log10Tail } from "./odds.ts";
import type { StrandEnd, View } from "./places.ts";
import type { Sighting } from "./spots.ts";
import type { TileFinding } from "./types.ts";
import { toMm } from "../geometry/um.ts";
import { moveWords, type LengthUnits } from "../job/units.ts";

/** A tile is looked into where at least so many of its lights, and this part of them, are not where they should be. */
const LEAST_LIGHTS = 5;
const WRONG_SHARE = 0.5;
/** Another pattern must explain this part of its own lights, beyond chance by this. */
const AGREE_SHARE = 0.6;
const LEAST_ODDS = -6;
/** Tiles of one size after cutting fit each other's place. */
const SAME_SIZE_UM = 3000;
/** How far a pattern as a whole may lie off: a tile in its tees by a few, a template laid wrongly by more. */
const SHIFT_MM = 40;
/** Lights that agree on a shift do so within this. */
const THEN_MM = 3;
/** A tile has no more room than this between its tees: beyond it the holes are off, not the tile. */
const SLACK_MM = 8;
const TURNS = [0, 90, 180, 270] as const;

interface Light {
  spot: number;
  xMm: number;
  yMm: number;
}

/**
 * Tiles that hang turned, or in another's place: the lights within a tile whose own pattern fails are compared with
 * every tile's pattern, each way round. What is explained so is judged anew.
 */
export function findExchanged({
  tiles,
  places,
  readings,
  sighting,
  placing,
  view,
  units,
}: {
  tiles: readonly Tile[];
  places: readonly StrandEnd[];
  readings: Reading[];
  sighting: Sighting;
  placing: Placing;
  view: View;
  units: LengthUnits;
}): { findings: TileFinding[]; explained: Set<number> } {
  const byTile = groupBy(
    places.map((_, i) => i),
    (i) => places[i]!.hole.tile,
  );
  const suspects = tiles.filter((tile) => isSuspect(byTile.get(tile.name) ?? [], readings));
  const lights = suspects.length > 0 ? lightsOnPlan(sighting, placing, view) : [];
  const findings: TileFinding[] = [];
  const explained = new Set<number>();
  const hangsAt = new Map<string, { tile: Tile; turn: number; lights: Light[]; shift: [number, number] }>();
  for (const tile of suspects) {
    const { box } = tile;
    const [minX, minY, maxX, maxY] = [box.minX, box.minY, box.maxX, box.maxY].map(toMm) as [number, number, number, number]; // prettier-ignore
    const inTile = lights.filter(
      ({ xMm, yMm }) =>
        xMm > minX - SHIFT_MM && xMm < maxX + SHIFT_MM && yMm > minY - SHIFT_MM && yMm < maxY + SHIFT_MM,
    );
    const found = inTile.length < LEAST_LIGHTS ? null : bestPattern(tile, tiles, byTile, places, inTile);
    if (!found) continue;
    findings.push({ ...found.finding, words: findingWords(found.finding, units) });
    for (const spot of found.spots) explained.add(spot);
    hangsAt.set(found.finding.showsTile, { tile, turn: found.turn, lights: inTile, shift: found.shift });
  }
  retell({
    findings,
    hangsAt,
    tiles,
    byTile,
    places,
    readings,
    placing,
    view,
    sharedPx: 4 * sighting.sigmaPx,
  });
  return { findings, explained };
}

function isSuspect(own: readonly number[], readings: readonly Reading[]): boolean {
  const seen = own.filter((i) => readings[i]!.verdict !== "not in the picture");
  const wrong = seen.filter((i) => ["dead", "displaced", "unsure"].includes(readings[i]!.verdict));
  return seen.length >= LEAST_LIGHTS && wrong.length >= WRONG_SHARE * seen.length;
}

function lightsOnPlan({ spots }: Sighting, { lens }: Placing, view: View): Light[] {
  return spots.flatMap(({ xPx, yPx }, spot) => {
    const seen = toPlan(lens, xPx, yPx);
    return seen ? [{ spot, ...view.plan(seen.xMm, seen.yMm) }] : [];
  });
}

/** A place of a tile, turned about the tile's middle (counter-clockwise on the plan) and put into another tile's. */
function put(place: StrandEnd, from: Tile, into: Tile, turn: number): { xMm: number; yMm: number } {
  const middle = ({ box }: Tile) => [(box.minX + box.maxX) / 2000, (box.minY + box.maxY) / 2000] as const;
  const [fx, fy] = middle(from);
  const [tx, ty] = middle(into);
  let [x, y] = [place.hole.xMm - fx, place.hole.yMm - fy];
  for (let i = 0; i < turn; i += 90) [x, y] = [0 - y, x];
  return { xMm: tx + x, yMm: ty + y };
}

const fits = (from: Tile, into: Tile, turn: number): boolean => {
  const size = ({ box }: Tile) => [box.maxX - box.minX, box.maxY - box.minY] as const;
  const [w, h] = turn % 180 === 0 ? size(from) : ([...size(from)].reverse() as [number, number]);
  const [tw, th] = size(into);
  return Math.abs(w - tw) <= SAME_SIZE_UM && Math.abs(h - th) <= SAME_SIZE_UM;
};

function bestPattern(
  tile: Tile,
  tiles: readonly Tile[],
  byTile: ReadonlyMap<string, number[]>,
  places: readonly StrandEnd[],
  lights: readonly Light[],
): { finding: Omit<TileFinding, "words">; spots: number[]; turn: number; shift: [number, number] } | null {
  const near = new Near(
    lights.map((l) => l.xMm),
    lights.map((l) => l.yMm),
  );
  const across = (low: number, high: number) => toMm(high - low) + 2 * SHIFT_MM;
  const areaMm2 = across(tile.box.minX, tile.box.maxX) * across(tile.box.minY, tile.box.maxY);
  const chance = Math.min(1, (lights.length * Math.PI * THEN_MM ** 2) / areaMm2);
  let best: { from: Tile; turn: (typeof TURNS)[number]; spots: number[]; of: number; odds: number; shift: [number, number] } | null = null; // prettier-ignore
  let tries = 0;
  for (const from of tiles) {
    const own = byTile.get(from.name) ?? [];
    if (own.length < LEAST_LIGHTS) continue;
    for (const turn of TURNS) {
      if (!fits(from, tile, turn)) continue;
      tries++;
      const there = own.map((i) => put(places[i]!, from, tile, turn));
      const shift = commonShift(there, near, lights);
      if (!shift) continue;
      const spots = there.flatMap((p) => {
        const k = near.nearest(p.xMm + shift[0], p.yMm + shift[1], THEN_MM);
        return k < 0 ? [] : [lights[k]!.spot];
      });
      const odds = log10Tail(own.length, spots.length, chance);
      if (spots.length < AGREE_SHARE * own.length || (best && odds >= best.odds)) continue;
      best = { from, turn, spots, of: own.length, odds, shift };
    }
  }
  if (!best) return null;
  // the shift was chosen as well: as if each light had been tried for it
  const log10Chance = best.odds + Math.log10(Math.max(1, tries)) + Math.log10(best.of * lights.length);
  if (log10Chance > LEAST_ODDS) return null;
  const { from, turn, shift } = best;
  // counted looking up, the other way round
  const turnedDeg = ((360 - turn) % 360) as TileFinding["turnedDeg"];
  const kind = from.name !== tile.name ? "exchanged" : turn === 0 ? "shifted" : "turned";
  const finding: Omit<TileFinding, "words"> = {
    tile: tile.name,
    kind,
    turnedDeg,
    showsTile: from.name,
    shiftMm: kind === "shifted" ? shift : null,
    agree: best.spots.length,
    of: best.of,
    log10Chance,
  };
  return { finding, spots: best.spots, turn, shift };
}

/** The shift that most places have in common with some light near them. */
function commonShift(
  there: readonly { xMm: number; yMm: number }[],
  near: Near,
  lights: readonly Light[],
): [number, number] | null {
  const ways = there.flatMap((p) =>
    near.within(p.xMm, p.yMm, SHIFT_MM).map((k) => [lights[k]!.xMm - p.xMm, lights[k]!.yMm - p.yMm] as const),
  );
  const among = new Near(
    ways.map((d) => d[0]),
    ways.map((d) => d[1]),
  );
  let most: number[] = [];
  for (const [dx, dy] of ways) {
    const like = among.within(dx, dy, THEN_MM);
    if (like.length > most.length) most = like;
  }
  if (most.length < AGREE_SHARE * there.length) return null;
  return [median(most.map((k) => ways[k]![0])), median(most.map((k) => ways[k]![1]))];
}

function findingWords(
  { tile, kind, showsTile: shows, turnedDeg, shiftMm }: Omit<TileFinding, "words">,
  units: LengthUnits,
): string {
  const offMm = Math.hypot(...(shiftMm ?? []));
  const off = moveWords(Math.round(offMm), units);
  if (kind === "shifted")
    return offMm < SLACK_MM
      ? `${tile} sits ${off} off its place: push it back.`
      : `The holes of ${tile} lie ${off} off, all the same way: was its template laid, or the tile cut, from another corner?`;
  const back = turnedDeg === 180 ? "half a turn" : `a quarter turn ${turnedDeg === 90 ? "clockwise" : "counter-clockwise"}, looking up`; // prettier-ignore
  if (kind === "turned") return `${tile} hangs turned by ${turnedDeg === 180 ? 180 : 90}°: give it ${back}.`;
  return `In the place of ${tile} hangs ${shows}${turnedDeg === 0 ? "" : `, turned: it also needs ${back}`}.`;
}

/** Judges the strands of tiles that hang elsewhere by the lights where they hang. */
function retell({
  findings,
  hangsAt,
  tiles,
  byTile,
  places,
  readings,
  placing: { lens },
  view,
  sharedPx,
}: {
  findings: readonly TileFinding[];
  hangsAt: ReadonlyMap<string, { tile: Tile; turn: number; lights: Light[]; shift: [number, number] }>;
  tiles: readonly Tile[];
  byTile: ReadonlyMap<string, number[]>;
  places: readonly StrandEnd[];
  readings: Reading[];
  placing: Placing;
  view: View;
  sharedPx: number;
}): void {
  const tileOf = new Map(tiles.map((tile) => [tile.name, tile]));
  for (const { tile, words } of findings)
    if (!hangsAt.has(tile))
      for (const i of byTile.get(tile) ?? [])
        Object.assign(readings[i]!, { verdict: "unsure", why: words, wayMm: null, light: null, spot: -1 });
  for (const [name, { tile, turn, lights, shift }] of hangsAt) {
    const from = tileOf.get(name)!;
    const why = findings.find((f) => f.tile === tile.name)!.words;
    const near = new Near(
      lights.map((l) => l.xMm),
      lights.map((l) => l.yMm),
    );
    for (const i of byTile.get(name) ?? []) {
      const at = put(places[i]!, from, tile, turn);
      const k = near.nearest(at.xMm + shift[0], at.yMm + shift[1], THEN_MM);
      const seen = view.seen(at.xMm + shift[0], at.yMm + shift[1]);
      const xy = toPicture(lens, seen.xMm, seen.yMm);
      const found = lights[k];
      const way = found && view.seen(found.xMm, found.yMm);
      // two strands seen as one light have it between them
      const sharesMm = Math.max(2 * THEN_MM, sharedPx / (readings[i]!.pxPerMm || 1));
      const shares = !found && near.nearest(at.xMm + shift[0], at.yMm + shift[1], sharesMm) >= 0;
      Object.assign(readings[i]!, {
        ...(xy ?? {}),
        verdict: found ? "displaced" : shares ? "unsure" : "dead",
        wayMm: way ? [way.xMm - places[i]!.xMm, way.yMm - places[i]!.yMm] : null,
        light: null,
        spot: found?.spot ?? -1,
        why: found
          ? why
          : shares
            ? `${why} It can't be told from its neighbour there.`
            : `${why} It is dark there.`,
      });
    }
  }
}
