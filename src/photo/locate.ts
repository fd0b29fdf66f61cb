import { seededRandom } from "../pattern/random.ts";
import { CodeBook, codesOf, fivesAround, neighboursOf, type Points } from "./codes.ts";
import { affineLens, fitLens, scaleAt, toPicture, type Freedom, type Lens, type Pair } from "./lens.ts";
import { Near } from "./near.ts";
import { log10FalseAlarms } from "./odds.ts";
import type { StrandEnd } from "./places.ts";
import type { Sighting, PictureSpot } from "./spots.ts";

/** Where the plan lies in a picture, and how sure that is. */
export interface Placing {
  lens: Lens;
  /** Which spot is which place: indices. */
  matches: { place: number; spot: number }[];
  /** Planned places inside the picture. */
  expected: number;
  /** Spots among the planned places (not beside the ceiling). */
  lights: number;
  /** Spread of the fit along one axis. */
  sigmaPx: number;
  sigmaMm: number;
  /** log10 of how many placings as good chance alone would give. */
  log10Chance: number;
}

/** A placing that chance would give once in so many (log10) pictures is taken. */
export const LEAST_ODDS = -12;
/** At least this part of what is seen or of what is planned must agree, and this much of the other. */
const AGREE_MOST = 0.6;
const AGREE_LEAST = 0.25;
/** Less will do where chance is out of the question: all engines but one may be dark. */
const SURE_ODDS = -60;
const AGREE_WHEN_SURE = 0.08;

/** Neighbours of which groups are made: more on the plan, so that a slanted view finds its own among them. */
const PLAN_NEIGHBOURS = 8;
const SPOT_NEIGHBOURS = 7;
/** How far codes of the same group may differ: perspective within the group and noise. */
const CODE_TOLERANCE = 0.12;
/** A group is believed when so many of its nearest places have a light. */
const FIRST_LOOK = 14;
const FIRST_AGREE = 9;
/** How near a light must be to where it should be, as a part of the lights' spacing, while the lens is still unknown. */
const NEAR_SPACING = 0.2;
const GROWTH = 1.5;
/** While growing, at least this part must agree. */
const GROWING_AGREE = 0.45;
/** Spots tried as a group's middle for each way of choosing. In 100 slanted test views the first or second was enough. */
const MOST_TRIED = { all: 40, brighter: 15 };
/**
 * Places looked at in one search, all ways together; each way has its part of them, and what is left of those before.
 * In 60 test views the plan was found within 23,000; without a bound a wrong picture of a room took two million, of a
 * hall of 12,000 places twenty million.
 */
const MOST_LOOKS = 3_000_000;

export interface LocateOptions {
  /** Share of the search done, 0 to 1. */
  onProgress?: (share: number) => void;
  /** It gives up after so much. */
  mostLooks?: number;
}

/** Planned places prepared for finding: codes by choice of the brightest, made when first needed. */
export class Atlas {
  readonly places: readonly StrandEnd[];
  private readonly books = new Map<number, { book: CodeBook; index: number[]; points: Points }>();
  /** Lights at or above which places are chosen: all, then the brighter kinds. */
  readonly floors: number[];

  constructor(places: readonly StrandEnd[]) {
    this.places = places;
    const sorted = places.map((p) => p.light).sort((a, b) => b - a);
    const shares = [0.5, 0.25, 0.12].map((share) => sorted[Math.floor(share * sorted.length)] ?? 0);
    const least = sorted.at(-1) ?? 0;
    this.floors = [0, ...new Set(shares.filter((floor) => floor > least))].filter(
      (floor) => places.filter((p) => p.light >= floor).length >= 8,
    );
  }

  book(floor: number): { book: CodeBook; index: number[]; points: Points } {
    let known = this.books.get(floor);
    if (!known) {
      const index = this.places.flatMap((p, i) => (p.light >= floor ? [i] : []));
      const points = {
        x: Float64Array.from(index, (i) => this.places[i]!.xMm),
        y: Float64Array.from(index, (i) => this.places[i]!.yMm),
      };
      known = { book: new CodeBook(points, neighboursOf(points, PLAN_NEIGHBOURS)), index, points };
      this.books.set(floor, known);
    }
    return known;
  }
}

/** Finds how the plan lies in a picture without any help; null where no placing is beyond chance. */
export function locate(
  atlas: Atlas,
  sighting: Sighting,
  { onProgress, mostLooks = MOST_LOOKS }: LocateOptions = {},
): Placing | null {
  const { spots } = sighting;
  if (spots.length < 8) return null;
  const sky = new SpotIndex(sighting);
  const ways = atlas.floors.flatMap((floor) => {
    const share = atlas.book(floor).index.length / atlas.places.length;
    // the fainter ones may be missing from the picture, or be there as well
    return floor === 0
      ? [{ floor, share: 1 }]
      : [
          { floor, share: 1 },
          { floor, share },
        ];
  });
  for (const [w, { floor, share }] of ways.entries()) {
    const found = search(atlas, sky, {
      floor,
      share,
      mostLooks: (mostLooks * (w + 1)) / ways.length,
      onProgress: (done) => onProgress?.((w + done) / ways.length),
    });
    if (found) return found;
  }
  return null;
}

/** The spots of a picture and which is nearest to a place. */
class SpotIndex {
  readonly sighting: Sighting;
  readonly spots: readonly PictureSpot[];
  /** Places looked at so far. */
  looks = 0;
  private readonly near: Near;

  constructor(sighting: Sighting) {
    this.sighting = sighting;
    this.spots = sighting.spots;
    this.near = new Near(
      this.spots.map((s) => s.xPx),
      this.spots.map((s) => s.yPx),
    );
  }

  nearest(xPx: number, yPx: number, withinPx: number): number {
    return this.near.nearest(xPx, yPx, withinPx);
  }

  /** The spots that outshine all but `share` of their neighbours. */
  brightest(share: number): number[] {
    if (share >= 1) return this.spots.map((_, i) => i);
    const points = {
      x: Float64Array.from(this.spots, (s) => s.xPx),
      y: Float64Array.from(this.spots, (s) => s.yPx),
    };
    const round = neighboursOf(points, Math.min(40, this.spots.length - 1));
    return this.spots.flatMap((spot, i) => {
      const brighter = round[i]!.reduce((n, j) => n + (this.spots[j]!.flux > spot.flux ? 1 : 0), 0);
      return brighter <= share * round[i]!.length ? [i] : [];
    });
  }
}

/** One way of looking: groups of places brighter than a floor among the share of the brightest spots. */
interface Way {
  floor: number;
  share: number;
  mostLooks: number;
  onProgress: (share: number) => void;
}

function search(atlas: Atlas, sky: SpotIndex, way: Way): Placing | null {
  const { floor, share, mostLooks, onProgress } = way;
  const { book, index } = atlas.book(floor);
  const chosen = sky.brightest(share);
  if (chosen.length < 8) return null;
  const points = {
    x: Float64Array.from(chosen, (i) => sky.spots[i]!.xPx),
    y: Float64Array.from(chosen, (i) => sky.spots[i]!.yPx),
  };
  const neighbours = neighboursOf(points, SPOT_NEIGHBOURS);
  const ranked = neighboursOf(
    {
      x: Float64Array.from(atlas.places, (p) => p.xMm),
      y: Float64Array.from(atlas.places, (p) => p.yMm),
    },
    FIRST_LOOK - 1,
  );
  const order = shuffled(chosen.length).slice(0, floor === 0 ? MOST_TRIED.all : MOST_TRIED.brighter);
  for (const [done, centre] of order.entries()) {
    onProgress(done / order.length);
    const near = neighbours[centre]!;
    const spacingPx = Math.hypot(
      points.x[centre]! - points.x[near[Math.min(2, near.length - 1)]!]!,
      points.y[centre]! - points.y[near[Math.min(2, near.length - 1)]!]!,
    );
    let found: Placing | null = null;
    for (const five of fivesAround(centre, near)) {
      codesOf(points, five, true, (code, ours) => {
        book.near(code, CODE_TOLERANCE, (group) => {
          if (found || sky.looks > mostLooks) return;
          const pairs = Array.from(ours, (spot, i) => ({ place: index[group[i]!]!, spot: chosen[spot]! }));
          const middle = pairs[ours.indexOf(centre)]!.place;
          found = tryGroup(atlas, sky, pairs, middle, spacingPx, ranked[middle]!);
        });
      });
      if (found) return found;
      if (sky.looks > mostLooks) return null;
    }
  }
  return null;
}

function shuffled(count: number): number[] {
  const chance = seededRandom(1);
  const order = Array.from({ length: count }, (_, i) => i);
  for (let i = count - 1; i > 0; i--) {
    const j = chance.below(i + 1);
    [order[i], order[j]] = [order[j]!, order[i]!];
  }
  return order;
}

type Match = Placing["matches"][number];

const pairsOf = (atlas: Atlas, sky: SpotIndex, matches: readonly Match[]): Pair[] =>
  matches.map(({ place, spot }) => ({
    xMm: atlas.places[place]!.xMm,
    yMm: atlas.places[place]!.yMm,
    xPx: sky.spots[spot]!.xPx,
    yPx: sky.spots[spot]!.yPx,
  }));

/** A first look round the group; where its neighbours agree too, the placing is grown from there. */
// eslint-disable-next-line max-params -- called in the inner loop
function tryGroup(
  atlas: Atlas,
  sky: SpotIndex,
  group: readonly Match[],
  middle: number,
  spacingPx: number,
  near: Int32Array,
): Placing | null {
  const at = atlas.places[middle]!;
  const far = atlas.places[near[near.length - 1]!]!;
  const unitMm = 2 * Math.hypot(far.xMm - at.xMm, far.yMm - at.yMm);
  const frame = { originMm: [at.xMm, at.yMm] as const, unitMm };
  const lens = affineLens(sky.sighting.light, frame, pairsOf(atlas, sky, group));
  if (!lens) return null;
  const round = [middle, ...near];
  const { matches } = agreeing(atlas, sky, lens, round, NEAR_SPACING * spacingPx);
  if (matches.length < Math.min(FIRST_AGREE, round.length)) return null;
  return growPlacing(atlas, sky.sighting, lens, NEAR_SPACING * spacingPx, sky);
}

/** Each place with the spot nearest to where it should be; a spot goes to the nearest of its places. */
function agreeing(
  atlas: Atlas,
  sky: SpotIndex,
  lens: Lens,
  among: Iterable<number>,
  withinPx: number,
): { matches: Match[]; expected: number } {
  const best = new Map<number, { place: number; distance: number }>();
  let expected = 0;
  for (const place of among) {
    sky.looks++;
    const { xMm, yMm } = atlas.places[place]!;
    const seen = toPicture(lens, xMm, yMm);
    if (!seen || !isInside(lens, seen.xPx, seen.yPx)) continue;
    expected++;
    const spot = sky.nearest(seen.xPx, seen.yPx, withinPx);
    if (spot < 0) continue;
    const distance = Math.hypot(sky.spots[spot]!.xPx - seen.xPx, sky.spots[spot]!.yPx - seen.yPx);
    const known = best.get(spot);
    if (!known || distance < known.distance) best.set(spot, { place, distance });
  }
  return { matches: [...best].map(([spot, { place }]) => ({ place, spot })), expected };
}

const isInside = (lens: Lens, xPx: number, yPx: number): boolean =>
  xPx >= 0 && yPx >= 0 && xPx < lens.widthPx && yPx < lens.heightPx;

/** How much of the lens so many pairs can tell. */
const freedomFor = (pairs: number): Freedom =>
  pairs < 9 ? "affine" : pairs < 40 ? "perspective" : pairs < 120 ? "bent" : "bent twice";

/**
 * From a first placing, good round its origin, outward over the picture: each round takes in places half as many
 * again, and fits anew. Null where too few agree on the way, or in the end chance could have done it.
 */
// eslint-disable-next-line max-params -- called in the inner loop
export function growPlacing(
  atlas: Atlas,
  sighting: Sighting,
  first: Lens,
  withinPx: number,
  sky: SpotIndex = new SpotIndex(sighting),
  firstLook = FIRST_LOOK,
): Placing | null {
  const [ox, oy] = first.originMm;
  const distance = atlas.places.map(({ xMm, yMm }) => (xMm - ox) ** 2 + (yMm - oy) ** 2);
  const order = atlas.places.map((_, i) => i).sort((a, b) => distance[a]! - distance[b]! || a - b);
  sky.looks += order.length;
  let lens = first;
  let sigmaPx = withinPx / 3;
  for (let count = firstLook; ; count = Math.ceil(count * GROWTH)) {
    const some = order.slice(0, count);
    for (let again = 0; again < 2; again++) {
      const nearPx = again === 0 ? withinPx : Math.min(withinPx, Math.max(2.5, 6 * sigmaPx));
      const { matches, expected } = agreeing(atlas, sky, lens, some, nearPx);
      if (matches.length < 5) return null;
      // where an engine is dark, most lights agree though most places don't
      if (
        matches.length < GROWING_AGREE * expected &&
        matches.length < AGREE_MOST * surroundings(atlas, sky, lens, some).lights
      )
        return null;
      ({ lens, sigmaPx } = fitLens(lens, pairsOf(atlas, sky, matches), freedomFor(matches.length)));
    }
    if (count >= order.length) break;
  }
  return finished(atlas, sky, lens, sigmaPx);
}

/** The last fits over everything that agrees, and the odds. */
function finished(atlas: Atlas, sky: SpotIndex, first: Lens, spreadPx: number): Placing | null {
  let lens = first;
  let matches: Match[] = [];
  let sigmaPx = spreadPx;
  let expected = 0;
  let nearPx = 0;
  const all = atlas.places.map((_, i) => i);
  for (let round = 0; round < 3; round++) {
    nearPx = Math.max(2, 5 * sigmaPx);
    ({ matches, expected } = agreeing(atlas, sky, lens, all, nearPx));
    if (matches.length < 5) return null;
    ({ lens, sigmaPx } = fitLens(lens, pairsOf(atlas, sky, matches), freedomFor(matches.length)));
  }
  const { lights, areaPx } = surroundings(atlas, sky, lens, all);
  const chance = Math.min(1, (lights * Math.PI * nearPx * nearPx) / areaPx);
  const log10Chance = log10FalseAlarms(expected, matches.length, lights, chance);
  const [least, most] = [matches.length / expected, matches.length / lights].sort((a, b) => a - b) as [
    number,
    number,
  ];
  const enough = log10Chance < SURE_ODDS ? AGREE_WHEN_SURE : AGREE_LEAST;
  if (log10Chance > LEAST_ODDS || most < AGREE_MOST || least < enough) return null;
  const scales = matches.map(
    ({ place }) => scaleAt(lens, atlas.places[place]!.xMm, atlas.places[place]!.yMm)!.least,
  );
  scales.sort((a, b) => a - b);
  return {
    lens,
    matches,
    expected,
    lights,
    sigmaPx,
    sigmaMm: sigmaPx / scales[scales.length >> 1]!,
    log10Chance,
  };
}

/** Cells of the picture that hold planned places: their area, and the spots in them. */
function surroundings(
  atlas: Atlas,
  sky: SpotIndex,
  lens: Lens,
  among: readonly number[],
): { lights: number; areaPx: number } {
  const side = Math.ceil(Math.max(lens.widthPx, lens.heightPx) / 40);
  const cellOf = (xPx: number, yPx: number) => Math.floor(yPx / side) * 1000 + Math.floor(xPx / side);
  const cells = new Set<number>();
  for (const place of among) {
    const { xMm, yMm } = atlas.places[place]!;
    const seen = toPicture(lens, xMm, yMm);
    if (seen && isInside(lens, seen.xPx, seen.yPx)) cells.add(cellOf(seen.xPx, seen.yPx));
  }
  const lights = sky.spots.filter(({ xPx, yPx }) => cells.has(cellOf(xPx, yPx))).length;
  return { lights: Math.max(1, lights), areaPx: cells.size * side * side };
}
