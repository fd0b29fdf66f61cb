import { measureEmptiness, type Emptiness } from "./empty.ts";
import { scaleAt, toPicture, toPlan, type Lens } from "./lens.ts";
import type { Placing } from "./locate.ts";
import { measureAt, type Centre, type Measured } from "./measure.ts";
import { strungWords } from "../pattern/packing.ts";
import { Near, median, planeAtOrigin, scatterOf } from "./near.ts";
import type { StrandEnd } from "./places.ts";
import type { Sighting } from "./spots.ts";
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
/** Lit strands are hardly ever fainter than this part of the expected light; where so many standard errors more than is measured reach it, dead can't be told from lit. */
const FAINTEST = 0.65;
const SURELY = 3;
/** Centres nearer than this, in widths of a spot, can't be taken apart. */
const TOGETHER_WIDTHS = 2.2;
/** Centres nearer than this pull at each other's, by up to the way between them. */
const PULLING_WIDTHS = 4;
/** Neighbours within so many widths are measured along. */
const BESIDE_WIDTHS = 6;
/** Strands compared with each other. */
const NEIGHBOURS = 24;
const LEAST_NEIGHBOURS = 8;
const COMPARED_WITHIN_MM = 1500;
/** A light taken for a displaced strand may be brighter or fainter than expected by this factor: near, and far. */
const LIKE = { near: 3.5, far: 1.7 };
/** And its spot wider than the usual one by this. */
const LIKE_WIDTH = 1.6;
/** No light is drawn narrower than this part of the usual width. */
const NARROW_WIDTH = 0.6;
/** A light stands at least so many standard errors, of the noise as it is measured where no light is, over nothing. */
const LEAST_LIGHT = 4;
/** The smoothing of the picture makes pixel noise so much smaller; JPEG makes neighbours alike, hence not 0.27. */
const SMOOTHED_NOISE = 0.4;
const GLARE = 0.35;

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
  const expectation = expect(places, inside, measured, spotOf);
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
    });
  sharedLight({ inside, readings, places, measured, expectation, sighting, spotOf });
  const isLight = beyondNoise(sighting, emptiness);
  findDisplaced({
    isLight,
    readings,
    places,
    sighting,
    lens,
    taken,
    expectation,
    limits,
    inside,
    spotOf,
    bend,
  });
  const leastMm = surelyOff(inside, readings, sighting, Math.max(limits.displacedMm, 5 * placing.sigmaMm));
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
      const { level, noise } = sighting.backgroundAt(own.xPx, own.yPx);
      // what pixels of even noise would have to scatter for as great an error: for a light by itself, 2 sigma sqrt(pi) of it
      const asMeasured = emptiness.errorAt(own.xPx, own.yPx) / (2 * sigmaPx * Math.sqrt(Math.PI));
      const pixelNoise = Math.max(noise / SMOOTHED_NOISE, asMeasured);
      return [i, measureAt(light, [own, ...beside.map((j) => all[j]!)], sigmaPx, level, pixelNoise)];
    }),
  );
}

interface Expected {
  flux: number;
  /** Scatter of the neighbours' light, in natural logarithms. */
  scatter: number;
  sameStrand: boolean;
  /** Told by lights that are clipped: no measure of another that is. */
  rough: boolean;
}

/**
 * The light a place should show: its own share (area, loss along the strand) times what its neighbours of the same
 * strand show of theirs. Cone, distance, lens and exposure change slowly and are in the neighbours' light.
 */
function expect(
  places: readonly StrandEnd[],
  inside: readonly number[],
  measured: ReadonlyMap<number, Measured>,
  spotOf: readonly number[],
): (i: number) => Expected | null {
  const shining = inside.filter((i) => spotOf[i]! >= 0 && measured.get(i)!.flux > 0);
  const told = shining.filter((i) => !measured.get(i)!.clipped);
  // where nearly all are clipped, as holes against the sky, they tell at least what a dark one is not
  const rough = told.length < LEAST_NEIGHBOURS;
  const lit = rough ? shining : told;
  const near = new Near(
    lit.map((i) => places[i]!.xMm),
    lit.map((i) => places[i]!.yMm),
  );
  const ratio = lit.map((i) => Math.log(measured.get(i)!.flux / places[i]!.light));
  const known = new Map<number, Expected | null>();
  return (i) => {
    if (!known.has(i)) {
      const { xMm, yMm, hole, light } = places[i]!;
      const round = near.within(xMm, yMm, COMPARED_WITHIN_MM).filter((k) => lit[k] !== i);
      const same = round.filter((k) => strungWords(places[lit[k]!]!.hole) === strungWords(hole));
      const sameStrand = same.length >= LEAST_NEIGHBOURS;
      const some = (sameStrand ? same : round).slice(0, NEIGHBOURS);
      known.set(i, some.length < LEAST_NEIGHBOURS ? null : expectedOf(some));

      function expectedOf(all: readonly number[]): Expected {
        const middle = median(all.map((k) => ratio[k]!));
        const spread = Math.max(0.1, scatterOf(all.map((k) => ratio[k]!)));
        const usual = all.filter((k) => Math.abs(ratio[k]! - middle) < 3 * spread);
        const [dx, dy] = (["xMm", "yMm"] as const).map((key) =>
          usual.map((k) => (places[lit[k]!]![key] - places[i]![key]) / COMPARED_WITHIN_MM),
        ) as [number[], number[]];
        // the cone's edge is steep: light falls off across the neighbours themselves
        const level = planeAtOrigin(dx, dy, usual.map((k) => ratio[k]!)); // prettier-ignore
        return { flux: light * Math.exp(level), scatter: spread, sameStrand, rough };
      }
    }
    return known.get(i)!;
  };
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
}: {
  i: number;
  reading: Reading;
  places: readonly StrandEnd[];
  light: Measured;
  expected: Expected | null;
  spot: number;
  sighting: Sighting;
  sharing: JudgeLimits;
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
  if (spot < 0 && light < DEAD && light + SURELY * doubt < FAINTEST) {
    reading.verdict = "dead";
    reading.why = `${percent(light)} of the light of ${beside}`;
  } else if (spot < 0 && light < Math.max(DEAD, 3 * doubt)) {
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
  return (s) => {
    const spot = spots[s]!;
    if (spot.clipped) return true;
    if (spot.sigmaPx < NARROW_WIDTH * sigmaPx) return false;
    const { level } = backgroundAt(spot.xPx, spot.yPx);
    const { flux } = measureAt(light, [spot], sigmaPx, level, 0);
    return flux > LEAST_LIGHT * tail * errorAt(spot.xPx, spot.yPx);
  };
}

/** Gives lights that belong to nobody to dark places near them, nearest first. */
function findDisplaced({
  isLight,
  readings,
  places,
  sighting: { spots, sigmaPx },
  lens,
  taken,
  expectation,
  limits: { reachMm },
  inside,
  spotOf,
  bend,
}: {
  isLight: (s: number) => boolean;
  readings: readonly Reading[];
  places: readonly StrandEnd[];
  sighting: Sighting;
  lens: Lens;
  taken: Set<number>;
  expectation: (i: number) => Expected | null;
  limits: JudgeLimits;
  inside: readonly number[];
  spotOf: number[];
  bend: (i: number) => [number, number];
}): void {
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
      if (like < 1 / most || like > most) return [];
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

/** From how far off a light is surely displaced: more where its neighbour's light runs into it. */
function surelyOff(
  inside: readonly number[],
  readings: readonly Reading[],
  { spots, sigmaPx }: Sighting,
  usualMm: number,
): (i: number) => number {
  const near = new Near(
    inside.map((i) => readings[i]!.xPx),
    inside.map((i) => readings[i]!.yPx),
  );
  return (i) => {
    const { xPx, yPx, pxPerMm, spot } = readings[i]!;
    const width = Math.max(sigmaPx, spots[spot]?.sigmaPx ?? 0);
    const next = near.within(xPx, yPx, PULLING_WIDTHS * width).find((k) => inside[k] !== i);
    return next === undefined ? usualMm : Math.max(usualMm, near.distance(next, xPx, yPx) / pxPerMm);
  };
}

/** How far a place's light is off, and whether that is too far. */
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
  if (off > leastMm) {
    reading.verdict = "displaced";
    reading.why = `its light is ${off.toFixed(off < 10 ? 1 : 0)} mm off its place`;
  }
}
