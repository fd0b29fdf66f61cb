import { measureEmptiness, type Emptiness } from "./empty.ts";
import {
  COMPARED_WITHIN_MM,
  LEAST_NEIGHBOURS,
  NEIGHBOURS,
  expectedLight,
  type Expected,
} from "./expected.ts";
import { scaleAt, toPicture, toPlan, type Lens } from "./lens.ts";
import type { Placing } from "./locate.ts";
import { measureAt, type Centre, type Measured } from "./measure.ts";
import { partSpot, type Parted } from "./merged.ts";
import { strungWords } from "../pattern/packing.ts";
import { Near, median } from "./near.ts";
import type { StrandEnd } from "./places.ts";
import { broadLights, peakShare, peakShareOf, reaches, type Sighting } from "./spots.ts";
import type { Verdict } from "./types.ts";

/** What one picture says of one planned place. Ways are in mm as seen, y downward. */
export interface Reading {
  verdict: Verdict;
  xPx: number;
  yPx: number;
  wayMm: [number, number] | null;
  light: number | null;
  saturated: boolean;
  why: string;
  /** Its spot, or -1. */
  spot: number;
  /** Pixels a millimetre, the shorter way: the better picture has more. */
  pxPerMm: number;
}

export interface JudgeLimits {
  /** A light off its place by more than this is displaced. */
  displacedMm: number;
  /** A light off by more than this belongs to no place. */
  reachMm: number;
  /** Whether strands are lit, each by its engine: only then their light tells anything. */
  dims: boolean;
}

/** On the ceiling: 5 mm are hardly seen from the floor; punching and print stay within 2 (common practice, no source). */
export const CEILING_LIMITS: JudgeLimits = { displacedMm: 5, reachMm: 45, dims: true };
/** On the bench a tile can still be mended: what the eye finds with a template beside it. */
export const BENCH_LIMITS: JudgeLimits = { displacedMm: 1, reachMm: 25, dims: false };

/** Less than this part of the expected light is dim, if it is also out of the neighbours' scatter. */
const DIM = 0.4;
const DIM_SCATTERS = 3;
/** Less than this part, surely, is dead. */
const DEAD = 0.3;
/** And so little, or what noise alone shows: more is a strand that glimmers. */
const GLIMMER = 0.05;
/** Lit strands are hardly ever fainter than this part of the expected light; where so many standard errors more than is measured reach it, dead can't be told from lit. */
const FAINTEST = 0.65;
const SURELY = 3;
/** Centres nearer than this, in widths of a spot, can't be taken apart. */
const TOGETHER_WIDTHS = 2.2;
/** Centres nearer than this pull at each other's, by up to the way between them. */
const PULLING_WIDTHS = 4;
/** Two spots farther apart than this don't pull at each other. */
const APART_WIDTHS = 3;
/** Neighbours within so many widths are measured along. */
const BESIDE_WIDTHS = 6;
/** A light taken for a displaced strand may be brighter or fainter than expected by this factor: near, and far. */
const LIKE = { near: 3.5, far: 1.7 };
/** And its spot wider than the usual one by this. */
const LIKE_WIDTH = 1.6;
/** A spot broader than this is no two strands. */
const BROADEST = 2.5;
/** No light is drawn narrower than this part of the usual width. */
const NARROW_WIDTH = 0.6;
/** Nor does one pixel hold so many times what it would of a light. */
const PEAK = 2;
/** A light stands at least so many standard errors, of the noise as it is measured where no light is, over nothing. */
const LEAST_LIGHT = 4;
/** The smoothing of the picture makes pixel noise so much smaller; JPEG makes neighbours alike, hence not 0.27. */
const SMOOTHED_NOISE = 0.4;
const GLARE = 0.35;

/** What is known of a picture while its places are judged; `readings`, `spotOf` and `taken` are what is decided so far. */
interface Judging {
  /** Places in the picture, by number. */
  inside: readonly number[];
  readings: readonly Reading[];
  places: readonly StrandEnd[];
  sighting: Sighting;
  lens: Lens;
  /** Spots that have a place. */
  taken: Set<number>;
  expectation: (i: number) => Expected | null;
  limits: JudgeLimits;
  /** The spot of each place, -1 for none. */
  spotOf: number[];
  /** How far the ceiling round a place lies off the plan, mm. */
  bend: (i: number) => [number, number];
  /** A spot stands out of the noise. */
  isLight: (s: number) => boolean;
}

/** Judges every planned place by the light measured there. */
export function judgePlaces(
  places: readonly StrandEnd[],
  sighting: Sighting,
  placing: Placing,
  limits: JudgeLimits,
): { readings: Reading[]; left: number[] } {
  const { lens } = placing;
  const { spots, sigmaPx } = sighting;
  const readings = places.map(({ xMm, yMm }) => lookAt(lens, xMm, yMm, 3 * sigmaPx));
  const spotOf = readings.map(() => -1);
  const taken = new Set<number>();
  for (const { place, spot } of placing.matches) {
    taken.add(spot);
    if (readings[place]!.verdict !== "not in the picture") spotOf[place] = spot;
  }
  const bend = localBend(places, sighting, placing);
  const centre = (i: number): Centre => {
    const spot = spots[spotOf[i]!];
    if (spot) return spot;
    const [dx, dy] = bend(i);
    return toPicture(lens, places[i]!.xMm + dx, places[i]!.yMm + dy) ?? readings[i]!;
  };
  const inside = readings.flatMap((r, i) => (r.verdict === "not in the picture" ? [] : [i]));
  const emptiness = measureEmptiness(sighting, [...inside.map(centre), ...[...taken].map((s) => spots[s]!)]);
  const measured = measureAll({ inside, centre, sighting, taken, emptiness });
  const expectation = expectedLight(places, inside, measured, spotOf);
  for (const i of inside)
    judgeOne({
      i,
      reading: readings[i]!,
      places,
      light: measured.get(i)!,
      expected: expectation(i),
      spot: spotOf[i]!,
      sighting,
      sharing: limits,
      tail: emptiness.tail,
    });
  sharedLight({ inside, readings, places, measured, expectation, sighting, spotOf });
  const isLight = beyondNoise(sighting, emptiness);
  const judging: Judging = { inside, readings, places, sighting, lens, taken, expectation, limits, spotOf, bend, isLight }; // prettier-ignore
  const parted = partMerged(judging, emptiness);
  findDisplaced(judging);
  const leastMm = surelyOff(
    inside,
    readings,
    sighting,
    parted,
    Math.max(limits.displacedMm, 5 * placing.sigmaMm),
  );
  for (const i of inside) measureWay(readings[i]!, places[i]!, sighting, lens, bend(i), leastMm(i));
  const ours = lightOfSeveral(inside, readings, sighting, expectation);
  const left = spots.flatMap((_, s) => (taken.has(s) || ours(s) || !isLight(s) ? [] : [s]));
  return { readings, left };
}

/**
 * Whether a light that no place has for its own is that of several strands that run together: they are lit, none has a
 * light of its own, and it is no brighter than they are.
 */
function lightOfSeveral(
  inside: readonly number[],
  readings: readonly Reading[],
  { spots, sigmaPx }: Sighting,
  expectation: (i: number) => Expected | null,
): (s: number) => boolean {
  const shared = inside.filter((i) => readings[i]!.spot < 0 && ["lit", "unsure"].includes(readings[i]!.verdict)); // prettier-ignore
  const near = new Near(
    shared.map((i) => readings[i]!.xPx),
    shared.map((i) => readings[i]!.yPx),
  );
  return (s) => {
    const { xPx, yPx, flux } = spots[s]!;
    const some = near.within(xPx, yPx, PULLING_WIDTHS * sigmaPx);
    const sum = some.reduce((light, k) => light + (expectation(shared[k]!)?.flux ?? 0), 0);
    return some.length > 1 && flux < LIKE.far * sum;
  };
}

function lookAt(lens: Lens, xMm: number, yMm: number, marginPx: number): Reading {
  const at = toPicture(lens, xMm, yMm);
  const inside =
    at !== null &&
    at.xPx >= marginPx &&
    at.yPx >= marginPx &&
    at.xPx < lens.widthPx - marginPx &&
    at.yPx < lens.heightPx - marginPx;
  const nothing = { wayMm: null, light: null, saturated: false, spot: -1 };
  if (!inside)
    return {
      ...nothing,
      verdict: "not in the picture",
      xPx: at?.xPx ?? -1,
      yPx: at?.yPx ?? -1,
      why: "",
      pxPerMm: 0,
    };
  return { ...nothing, verdict: "unsure", ...at, why: "", pxPerMm: scaleAt(lens, xMm, yMm)?.least ?? 0 };
}

/** How matched lights round a place lie beside their places, in the middle: what lens and ceiling do that the fit does not hold. */
function localBend(
  places: readonly StrandEnd[],
  { spots }: Sighting,
  { lens, matches }: Placing,
): (i: number) => [number, number] {
  const ways = matches.flatMap(({ place, spot }) => {
    const at = toPlan(lens, spots[spot]!.xPx, spots[spot]!.yPx);
    return at ? [{ x: places[place]!.xMm, y: places[place]!.yMm, dx: at.xMm - places[place]!.xMm, dy: at.yMm - places[place]!.yMm, place }] : []; // prettier-ignore
  });
  const near = new Near(
    ways.map((w) => w.x),
    ways.map((w) => w.y),
  );
  const known = new Map<number, [number, number]>();
  return (i) => {
    let bend = known.get(i);
    if (!bend) {
      const { xMm, yMm } = places[i]!;
      const round = near
        .within(xMm, yMm, COMPARED_WITHIN_MM / 2)
        .filter((k) => ways[k]!.place !== i)
        .slice(0, NEIGHBOURS);
      bend = round.length < LEAST_NEIGHBOURS ? [0, 0] : [median(round.map((k) => ways[k]!.dx)), median(round.map((k) => ways[k]!.dy))]; // prettier-ignore
      known.set(i, bend);
    }
    return bend;
  };
}

function measureAll({
  inside,
  centre,
  sighting,
  taken,
  emptiness,
}: {
  inside: readonly number[];
  centre: (i: number) => Centre;
  sighting: Sighting;
  taken: ReadonlySet<number>;
  emptiness: Emptiness;
}): Map<number, Measured> {
  const { sigmaPx, light, spots } = sighting;
  const broad = broadLights(sighting);
  // lights of other places, and lights that belong to nobody, stand in each other's way
  const all: Centre[] = [...inside.map(centre), ...spots.filter((_, s) => !taken.has(s))];
  const near = new Near(
    all.map((c) => c.xPx),
    all.map((c) => c.yPx),
  );
  return new Map(
    inside.map((i, k) => {
      const own = all[k]!;
      const beside = near
        .within(own.xPx, own.yPx, BESIDE_WIDTHS * sigmaPx)
        .filter((j) => j !== k && near.distance(j, own.xPx, own.yPx) > TOGETHER_WIDTHS * 0.4 * sigmaPx)
        .slice(0, 5);
      const { level, pixelNoise } = behind(sighting, emptiness, own);
      const centres = [own, ...beside.map((j) => all[j]!)];
      return [i, measureAt(light, centres, sigmaPx, level, pixelNoise, reaches(broad, own.xPx, own.yPx))];
    }),
  );
}

/** What is behind a light: its level and how pixels scatter. */
function behind(
  { sigmaPx, backgroundAt }: Sighting,
  { errorAt }: Emptiness,
  { xPx, yPx }: Centre,
): { level: number; pixelNoise: number } {
  const { level, noise } = backgroundAt(xPx, yPx);
  // what pixels of even noise would have to scatter for as great an error: for a light by itself, 2 sigma sqrt(pi) of it
  const asMeasured = errorAt(xPx, yPx) / (2 * sigmaPx * Math.sqrt(Math.PI));
  return { level, pixelNoise: Math.max(noise / SMOOTHED_NOISE, asMeasured) };
}

function judgeOne({
  i,
  reading,
  places,
  light: { flux, error, clipped },
  expected,
  spot,
  sighting,
  sharing: { dims },
  tail,
}: {
  i: number;
  reading: Reading;
  places: readonly StrandEnd[];
  light: Measured;
  expected: Expected | null;
  spot: number;
  sighting: Sighting;
  sharing: JudgeLimits;
  tail: number;
}): void {
  reading.spot = spot;
  reading.saturated = clipped;
  if (!expected) {
    reading.verdict = spot >= 0 ? "lit" : "unsure";
    reading.why = spot >= 0 ? "" : "too few lit strands near it to compare with";
    return;
  }
  const light = flux / expected.flux;
  const doubt = error / expected.flux;
  reading.light = clipped ? null : Math.max(0, light);
  if (clipped) {
    const glare = sighting.backgroundAt(reading.xPx, reading.yPx).level > GLARE || spot < 0;
    reading.verdict = glare ? "unsure" : "lit";
    reading.why = glare
      ? "in the glare of something bright"
      : "too bright for this picture to tell how bright";
    return;
  }
  const beside = expected.sameStrand
    ? `others of ${strungWords(places[i]!.hole)} round it`
    : "others round it";
  const glimmers = light > Math.max(GLIMMER, LEAST_LIGHT * tail * doubt);
  if (spot < 0 && light < DEAD && light + SURELY * doubt < FAINTEST && !(dims && glimmers)) {
    reading.verdict = "dead";
    reading.why = `${percent(light)} of the light of ${beside}`;
  } else if (spot < 0 && light < Math.max(DEAD, 3 * doubt) && !(dims && glimmers)) {
    reading.verdict = "unsure";
    reading.why = "so faint here that a dead strand would look the same: step nearer";
  } else if (dims && light < Math.min(DIM, Math.exp(-DIM_SCATTERS * expected.scatter))) {
    reading.verdict = "dim";
    reading.why = `${percent(light)} of the light of ${beside}`;
  } else reading.verdict = "lit";
}

const percent = (share: number): string => `${Math.round(100 * Math.max(0, share))} %`;

/** Places so near each other in the picture that one spot is the light of both: told by the sum, or not at all. */
function sharedLight({
  inside,
  readings,
  places,
  measured,
  expectation,
  sighting: { sigmaPx },
  spotOf,
}: {
  inside: readonly number[];
  readings: readonly Reading[];
  places: readonly StrandEnd[];
  measured: ReadonlyMap<number, Measured>;
  expectation: (i: number) => Expected | null;
  sighting: Sighting;
  spotOf: readonly number[];
}): void {
  const near = new Near(
    inside.map((i) => readings[i]!.xPx),
    inside.map((i) => readings[i]!.yPx),
  );
  for (const i of inside) {
    if (spotOf[i]! >= 0) continue;
    const reading = readings[i]!;
    const other = near
      .within(reading.xPx, reading.yPx, TOGETHER_WIDTHS * sigmaPx)
      .map((k) => inside[k]!)
      .find((j) => j !== i && spotOf[j]! >= 0);
    if (other === undefined) continue;
    const { hole } = places[other]!;
    const sum = (expectation(i)?.flux ?? NaN) + (expectation(other)?.flux ?? NaN);
    const { flux, clipped } = measured.get(other)!;
    const beside = `number ${hole.numberInTile}${hole.tile === places[i]!.hole.tile ? "" : ` of ${hole.tile}`}`;
    if (!clipped && flux > 0.8 * sum) {
      reading.verdict = "lit";
      reading.light = null;
      reading.why = `seen as one light with ${beside}`;
    } else {
      reading.verdict = "unsure";
      reading.light = null;
      reading.why = `so near ${beside} that this picture can't tell them apart: step nearer`;
    }
  }
}

/** Which spots are lights: not those that chance makes of noise, nor single hot pixels, narrower than the lens draws. */
function beyondNoise(
  { spots, sigmaPx, light, backgroundAt }: Sighting,
  { errorAt, tail }: Emptiness,
): (s: number) => boolean {
  // what the brightest pixel of a spot holds of it where the lens draws as narrow as this
  const lensShare = peakShareOf(sigmaPx);
  return (s) => {
    const spot = spots[s]!;
    if (spot.clipped) return true;
    const { level } = backgroundAt(spot.xPx, spot.yPx);
    if (spot.sigmaPx < NARROW_WIDTH * sigmaPx || peakShare(light, spot, level) > PEAK * lensShare)
      return false;
    const { flux } = measureAt(light, [spot], sigmaPx, level, 0);
    return flux > LEAST_LIGHT * tail * errorAt(spot.xPx, spot.yPx);
  };
}

/** Places whose spot is parted from another's in so many millimetres each way, and pixels at the least, of where it should be. */
const PUNCHED = { mm: 1, px: 0.3 };
/** Nor is a light looked for in others' farther from its place than this: dead strands are more than those. */
const PARTED_REACH_MM = 30;
/** Where a spot beyond the horizon is put, mm. */
const NOWHERE = 1e9;
/** A spot is looked at as two where it has its own place's light and so much of the other's. */
const EXCESS = 0.35;

/**
 * Dark places whose light runs into another's: the spot is parted into both, and each has its own. Gives the places
 * whose light was parted.
 */
function partMerged(
  { inside, readings, places, sighting, lens, taken, expectation, limits: { reachMm }, spotOf, bend, isLight }: Judging, // prettier-ignore
  emptiness: Emptiness,
): Set<number> {
  const { spots, sigmaPx, light } = sighting;
  const put = (i: number): Centre => {
    const [dx, dy] = bend(i);
    return toPicture(lens, places[i]!.xMm + dx, places[i]!.yMm + dy) ?? readings[i]!;
  };
  const lit = inside.filter((i) => spotOf[i]! >= 0 || readings[i]!.verdict === "lit");
  const at = lit.map(put);
  const near = new Near(at.map((c) => c.xPx), at.map((c) => c.yPx)); // prettier-ignore
  const ownerOf = new Map<number, number>();
  for (const i of lit) if (spotOf[i]! >= 0) ownerOf.set(spotOf[i]!, i);
  const seenAt = spots.map((s) => toPlan(lens, s.xPx, s.yPx));
  const onPlan = new Near(seenAt.map((p) => p?.xMm ?? NOWHERE), seenAt.map((p) => p?.yMm ?? NOWHERE)); // prettier-ignore
  const parted = new Set<number>();
  const done = new Set<number>();
  for (const i of inside) {
    const expected = expectation(i);
    if (spotOf[i]! >= 0 || readings[i]!.verdict === "lit" || !expected || expected.rough) continue;
    const [dx, dy] = bend(i);
    const some = onPlan.within(places[i]!.xMm + dx, places[i]!.yMm + dy, Math.min(reachMm, PARTED_REACH_MM));
    // a light of nobody's that is like it is its own
    if (some.some((s) => !taken.has(s) && isLike(spots[s]!.flux / expected.flux, LIKE.far) && isLight(s)))
      continue;
    for (const s of some) {
      const spot = spots[s]!;
      const j = ownerOf.get(s) ?? lit[near.nearest(spot.xPx, spot.yPx, PULLING_WIDTHS * sigmaPx)];
      const own = j === undefined ? null : expectation(j);
      if (j === undefined || !own || own.rough || done.has(s) || parted.has(j) || spot.clipped) continue;
      if (spot.flux < own.flux + EXCESS * expected.flux || spot.sigmaPx > BROADEST * sigmaPx) continue;
      const place = put(j);
      const round = near.within(spot.xPx, spot.yPx, BESIDE_WIDTHS * sigmaPx).flatMap((k) => (lit[k] === j ? [] : [spots[spotOf[lit[k]!]!] ?? at[k]!])); // prettier-ignore
      const spreadPx = Math.max(PUNCHED.px, PUNCHED.mm * readings[j]!.pxPerMm);
      const two = partSpot(
        light,
        spot,
        { ...place, flux: own.flux, spreadPx, scatter: own.scatter },
        { flux: expected.flux, scatter: 3 * expected.scatter },
        round.slice(0, 5),
        { sigmaPx, ...behind(sighting, emptiness, spot) },
      );
      if (!two) continue;
      done.add(s);
      taken.add(s);
      give(j, two.own, own);
      give(i, two.other, expected);
      break;

      function give(k: number, { xPx, yPx, flux }: Parted["lights"][number], of: Expected): void {
        spotOf[k] = readings[k]!.spot = spots.push({ ...spot, xPx, yPx, flux }) - 1;
        taken.add(spotOf[k]!);
        done.add(spotOf[k]!);
        parted.add(k);
        readings[k]!.light = flux / of.flux;
        readings[k]!.verdict = "lit";
        readings[k]!.why = "";
      }
    }
  }
  return parted;
}

const isLike = (share: number, most: number): boolean => share < most && share > 1 / most;

/** Gives lights that belong to nobody to dark places near them, nearest first. */
function findDisplaced({
  inside,
  readings,
  places,
  sighting: { spots, sigmaPx },
  lens,
  taken,
  expectation,
  limits: { reachMm },
  spotOf,
  bend,
  isLight,
}: Judging): void {
  const free = spots.flatMap((spot, s) => {
    if (taken.has(s) || !isLight(s)) return [];
    const at = toPlan(lens, spot.xPx, spot.yPx);
    return at ? [{ s, ...at }] : [];
  });
  const near = new Near(
    free.map((f) => f.xMm),
    free.map((f) => f.yMm),
  );
  const pairs = inside.flatMap((i) => {
    const { verdict } = readings[i]!;
    if (spotOf[i]! >= 0 || (verdict !== "dead" && verdict !== "unsure" && verdict !== "dim")) return [];
    const [dx, dy] = bend(i);
    const [x, y] = [places[i]!.xMm + dx, places[i]!.yMm + dy];
    return near.within(x, y, reachMm).flatMap((k) => {
      const spot = spots[free[k]!.s]!;
      const expected = expectation(i);
      const distance = near.distance(k, x, y);
      const like = spot.clipped && expected?.rough ? 1 : spot.flux / (expected?.flux ?? spot.flux);
      const most = LIKE.near + ((LIKE.far - LIKE.near) * distance) / reachMm;
      // a clipped one shines at least so much
      if (like > most || (like < 1 / most && !spot.clipped)) return [];
      if (spot.sigmaPx > LIKE_WIDTH * sigmaPx && !spot.clipped) return [];
      return [{ i, s: free[k]!.s, distance }];
    });
  });
  for (const [i, s] of likeliest(pairs)) {
    spotOf[i] = s;
    taken.add(s);
    const reading = readings[i]!;
    const spot = spots[s]!;
    const expected = expectation(i);
    reading.spot = s;
    reading.saturated = spot.clipped;
    reading.light = spot.clipped || !expected ? null : spot.flux / expected.flux;
    reading.verdict = "lit";
    reading.why = "";
  }
}

/** Each place with at most one light and each light with one place: nearest first, then two change theirs where both ways squared come to less. */
function likeliest(pairs: readonly { i: number; s: number; distance: number }[]): Map<number, number> {
  const square = new Map(pairs.map(({ i, s, distance }) => [`${i} ${s}`, distance ** 2]));
  const wayOf = (i: number, s: number): number => square.get(`${i} ${s}`) ?? Infinity;
  const spotFor = new Map<number, number>();
  const placeFor = new Map<number, number>();
  const give = (i: number, s: number): void => void (spotFor.set(i, s), placeFor.set(s, i));
  for (const { i, s } of pairs.toSorted((a, b) => a.distance - b.distance || a.i - b.i))
    if (!spotFor.has(i) && !placeFor.has(s)) give(i, s);
  for (let changed = true; changed;) {
    changed = false;
    for (const { i, s } of pairs) {
      const [own, other] = [spotFor.get(i), placeFor.get(s)];
      if (own === undefined || other === undefined || other === i) continue;
      if (wayOf(i, s) + wayOf(other, own) >= wayOf(i, own) + wayOf(other, s)) continue;
      give(i, s);
      give(other, own);
      changed = true;
    }
  }
  return spotFor;
}

/** From how far off a light is surely displaced: more where its neighbour's light runs into it and was not parted from it. */
function surelyOff(
  inside: readonly number[],
  readings: readonly Reading[],
  { spots, sigmaPx }: Sighting,
  parted: ReadonlySet<number>,
  usualMm: number,
): (i: number) => number {
  const near = new Near(
    inside.map((i) => readings[i]!.xPx),
    inside.map((i) => readings[i]!.yPx),
  );
  return (i) => {
    const { xPx, yPx, pxPerMm, spot } = readings[i]!;
    if (parted.has(i)) return usualMm;
    const width = Math.max(sigmaPx, spots[spot]?.sigmaPx ?? 0);
    const isApart = (other: number) => {
      const [a, b] = [spots[spot], spots[other]];
      return a && b && Math.hypot(a.xPx - b.xPx, a.yPx - b.yPx) > APART_WIDTHS * width;
    };
    const next = near
      .within(xPx, yPx, PULLING_WIDTHS * width)
      .find((k) => inside[k] !== i && !isApart(readings[inside[k]!]!.spot));
    return next === undefined ? usualMm : Math.max(usualMm, near.distance(next, xPx, yPx) / pxPerMm);
  };
}

/** How far a place's light is off, and whether that is too far. */
// eslint-disable-next-line max-params -- called in the inner loop
function measureWay(
  reading: Reading,
  { xMm, yMm }: StrandEnd,
  { spots }: Sighting,
  lens: Lens,
  [bx, by]: [number, number],
  leastMm: number,
): void {
  const spot = spots[reading.spot];
  const at = spot && toPlan(lens, spot.xPx, spot.yPx);
  if (!at) return;
  reading.wayMm = [at.xMm - xMm - bx, at.yMm - yMm - by];
  const off = Math.hypot(...reading.wayMm);
  if (off > leastMm) reading.verdict = "displaced";
}
