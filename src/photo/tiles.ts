import { groupBy } from "./group.ts";
import type { Tile } from "../ceiling/types.ts";
import type { Reading } from "./judge.ts";
import { toPicture, toPlan } from "./lens.ts";
import type { Placing } from "./locate.ts";
import { Near, median } from "./near.ts";
import { log10Tail } from "./odds.ts";
import type { Place, View } from "./places.ts";
import type { Sighting } from "./spots.ts";
import type { TileFinding } from "./types.ts";

/** A tile is looked into where at least so many of its lights, and this part of them, are not where they should be. */
const LEAST_LIGHTS = 5;
const WRONG_SHARE = 0.5;
/** Another pattern must explain this part of its own lights, beyond chance by this. */
const AGREE_SHARE = 0.6;
const LEAST_ODDS = -6;
/** Tiles of one size after cutting fit each other's place. */
const SAME_SIZE_UM = 3000;
/** First look at an exchanged tile's lights, then with its shift in the tees taken off. */
const FIRST_MM = 9;
const THEN_MM = 3;
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
export function findExchanged(
  tiles: readonly Tile[],
  places: readonly Place[],
  readings: Reading[],
  sighting: Sighting,
  placing: Placing,
  view: View,
): { findings: TileFinding[]; explained: Set<number> } {
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
    const inTile = lights.filter(
      ({ xMm, yMm }) =>
        xMm * 1000 > box.minX && xMm * 1000 < box.maxX && yMm * 1000 > box.minY && yMm * 1000 < box.maxY,
    );
    const found = inTile.length < LEAST_LIGHTS ? null : bestPattern(tile, tiles, byTile, places, inTile);
    if (!found) continue;
    findings.push(found.finding);
    for (const spot of found.spots) explained.add(spot);
    hangsAt.set(found.finding.showsTile, { tile, turn: found.turn, lights: inTile, shift: found.shift });
  }
  retell(findings, hangsAt, tiles, byTile, places, readings, placing, view, 4 * sighting.sigmaPx);
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
function put(place: Place, from: Tile, into: Tile, turn: number): { xMm: number; yMm: number } {
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
  places: readonly Place[],
  lights: readonly Light[],
): { finding: TileFinding; spots: number[]; turn: number; shift: [number, number] } | null {
  const near = new Near(
    lights.map((l) => l.xMm),
    lights.map((l) => l.yMm),
  );
  const areaMm2 = ((tile.box.maxX - tile.box.minX) * (tile.box.maxY - tile.box.minY)) / 1e6;
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
      const first = there.flatMap((p) => {
        const k = near.nearest(p.xMm, p.yMm, FIRST_MM);
        return k < 0 ? [] : [[lights[k]!.xMm - p.xMm, lights[k]!.yMm - p.yMm] as const];
      });
      if (first.length < AGREE_SHARE * own.length) continue;
      const shift: [number, number] = [median(first.map((d) => d[0])), median(first.map((d) => d[1]))];
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
  const finding: TileFinding = {
    tile: tile.name,
    kind,
    turnedDeg,
    showsTile: from.name,
    shiftMm: kind === "shifted" ? shift : null,
    agree: best.spots.length,
    of: best.of,
    log10Chance,
    words: findingWords(tile.name, kind, from.name, turnedDeg, shift),
  };
  return { finding, spots: best.spots, turn, shift };
}

function findingWords(
  tile: string,
  kind: TileFinding["kind"],
  shows: string,
  turnedDeg: number,
  shift: readonly [number, number],
): string {
  if (kind === "shifted")
    return `${tile} sits ${Math.hypot(...shift).toFixed(0)} mm off its place: push it back.`;
  const back = turnedDeg === 180 ? "half a turn" : `a quarter turn ${turnedDeg === 90 ? "clockwise" : "counter-clockwise"}, looking up`; // prettier-ignore
  if (kind === "turned") return `${tile} hangs turned by ${turnedDeg === 180 ? 180 : 90}°: give it ${back}.`;
  return `In the place of ${tile} hangs ${shows}${turnedDeg === 0 ? "" : `, turned: it also needs ${back}`}.`;
}

/** Judges the strands of tiles that hang elsewhere by the lights where they hang. */
function retell(
  findings: readonly TileFinding[],
  hangsAt: ReadonlyMap<string, { tile: Tile; turn: number; lights: Light[]; shift: [number, number] }>,
  tiles: readonly Tile[],
  byTile: ReadonlyMap<string, number[]>,
  places: readonly Place[],
  readings: Reading[],
  { lens }: Placing,
  view: View,
  sharedPx: number,
): void {
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
