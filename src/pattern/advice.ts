import type { Ceiling } from "../ceiling/types.ts";
import type { Job } from "../job/schema.ts";
import type { Catalog, ProjectedSky } from "../sky/types.ts";
import { assignStrands } from "./diameters.ts";
import { climb, planLadder } from "./ladder.ts";
import { leadingOf, stepErrorOf, type Lit } from "./leading.ts";
import { matterRange, objectsOnCeiling, type SkyObjects } from "./objects.ts";
import { countStrands, holeLight, type Strung } from "./packing.ts";
import { renderedMilli, thickestFirst, withoutThinnest, type LadderSettings, type Strands } from "./rungs.ts";

/** A diameter that can be had, and what one strand of it costs. */
export interface Offer {
  diameterMm: number;
  /** In the job's currency; null: not known. */
  price: number | null;
}

/** What to aim at: so many holes, or so much money for strands. */
export type Aim = { holes: number } | { price: number };

export interface AdviceInput {
  catalog: Catalog;
  /** Constellations that matter to the client, by abbreviation. */
  figures: readonly string[];
  projected: ProjectedSky;
  ceiling: Ceiling;
  strands: LadderSettings & { stock: readonly Strands[]; use: number | null };
  /** Share of the strands set aside for faint ones beyond the ladder. */
  asideShare: number;
  faintestMagnitude: number | null;
}

/** One way to stock the job, and how near the sky it comes. */
export interface Mix {
  /** "now, one strand in each hole", "now", "1 diameter", "2 diameters" ... */
  title: string;
  stock: Strands[];
  holes: number;
  strands: number;
  /** Of all strands; null where a price is missing. */
  price: number | null;
  faintestMagnitude: number;
  /** Between the light of the brightest and the faintest hole, and between those stars in the sky. */
  contrastMag: number;
  skyContrastMag: number;
  /** Root mean square of light steps against the compressed scale, and against the sky's own steps. */
  stepErrorMag: number;
  skyErrorMag: number;
  /** How many of the sky's ten brightest are among the ten of most light. */
  leading: number;
  /** Where the real stars stand on the plan (micrometres), and their light. */
  dots: { xUm: number; yUm: number; light: number }[];
}

/** More than this many diameters aren't weighed against each other. */
export const MOST_OFFERS = 5;
/** A difference from the sky's steps that is worth money. */
const SHOWS_MAG = 0.05;
/** Strands are bought by tens. */
const PACK = 10;
/** Diameters that are commonly sold (common practice, no source), those that make a ladder first. */
export const USUAL_MM = [0.75, 1.5, 1, 0.5, 2, 3] as const;
/** As many as anybody could want. */
const PLENTY = 1_000_000;

/**
 * Which strands to buy for this sky and ceiling: what the job has now, without and with several strands in a hole,
 * and for each number of diameters the mix that comes nearest to the sky's own steps for as many holes, or as much
 * money. Stars are counted where the sky puts them: settling moves them and loses a few.
 */
export function adviseStock(input: AdviceInput, offers: readonly Offer[], aim: Aim): Mix[] {
  const objects = objectsOnCeiling(input.projected, input.ceiling, input.catalog, input.figures);
  const measure = measurer(input, objects, offers);
  const now = [
    measure("now, one strand in each hole", input.strands.stock, { ...input.strands, mostPerHole: 1 }),
    ...(input.strands.mostPerHole > 1 ? [measure("now", input.strands.stock, input.strands)] : []),
  ];
  const best = new Map<number, Mix>();
  for (const some of subsetsOf(offers.slice(0, MOST_OFFERS))) {
    const mix = boughtFor(aim, some, input, objects, measure);
    const before = best.get(some.length);
    if (mix && (!before || isBetter(mix, before))) best.set(some.length, mix);
  }
  return [...now.flatMap((mix) => mix ?? []), ...[...best].sort(([a], [b]) => a - b).map(([, mix]) => mix)];
}

/**
 * What can be had: these diameters, or those of the stock and thicker usual ones; a strand costs what a metre does in the
 * job's prices, times the usual length of its strands.
 */
export function offersOf({ strands, takeoff, scene }: Job, diametersMm?: readonly number[]): Offer[] {
  const own = strands.stock.map(({ diameterMm }) => diameterMm);
  const others = USUAL_MM.filter((mm) => !own.includes(mm) && mm > Math.min(...own));
  const chosen = diametersMm ?? [...own, ...others].slice(0, MOST_OFFERS);
  return [...chosen]
    .sort((a, b) => a - b)
    .map((diameterMm) => {
      const perM = takeoff.prices.strandPerM.find((row) => row.diameterMm === diameterMm)?.price ?? 0;
      return { diameterMm, price: perM > 0 ? Math.round(perM * scene.lengthM * 100) / 100 : null };
    });
}

/** "1360 x 0.75 mm, 60 x 1.5 mm", thinnest first. */
export const mixWords = ({ stock }: Pick<Mix, "stock">): string =>
  [...stock].reverse().map(({ diameterMm, count }) => `${count} x ${diameterMm} mm`).join(", "); // prettier-ignore

/** Nearer to the sky by as much as shows, or as near for less: money, or without prices cross-section of strand. */
function isBetter(a: Mix, b: Mix): boolean {
  const steps = (mix: Mix) => Math.round(mix.skyErrorMag / SHOWS_MAG);
  const cost = ({ price, stock }: Mix) =>
    price ?? stock.reduce((sum, { diameterMm, count }) => sum + count * diameterMm * diameterMm, 0);
  return steps(a) !== steps(b) ? steps(a) < steps(b) : cost(a) < cost(b);
}

function* subsetsOf(offers: readonly Offer[]): Generator<Offer[]> {
  for (let bits = 1; bits < 1 << offers.length; bits++) yield offers.filter((_, i) => bits & (1 << i));
}

type Measure = (title: string, stock: readonly Strands[], settings: LadderSettings) => Mix | null;

/** The fewest strands of these diameters that reach the aim, by tens; null where even one star is out of reach. */
function boughtFor(
  aim: Aim,
  offers: readonly Offer[],
  { strands, asideShare, faintestMagnitude }: AdviceInput,
  objects: SkyObjects,
  measure: Measure,
): Mix | null {
  const plenty = offers.map(({ diameterMm }) => ({ diameterMm, count: PLENTY }));
  const thinnest = Math.min(...offers.map(({ diameterMm }) => diameterMm));
  const milli = objects.magnitudeMilli.subarray(0, usable(objects, faintestMagnitude));
  const buy = (stars: number): { stock: Strands[]; holes: number } => {
    const own = milli.subarray(0, stars);
    const plan = planLadder({
      milli: own,
      stock: plenty,
      use: Infinity,
      settings: strands,
      brightestMilli: brightestStar(objects),
      matter: matterRange(objects),
    });
    const given = climb(own, plan, plenty, Infinity, strands) ?? [];
    const aside = Math.round((countStrands(given) * asideShare) / (1 - asideShare));
    const stock = offers.map(({ diameterMm }) => {
      const real = countStrands(given.filter((g) => g.diameterMm === diameterMm));
      const count = real + (diameterMm === thinnest ? aside : 0);
      return { diameterMm, count: Math.ceil(count / PACK) * PACK };
    });
    return { stock, holes: stars + aside };
  };
  const cheapest = Math.min(...offers.map(({ price }) => price ?? Infinity));
  const mostWithin = (limit: number): number => {
    const within = (stars: number): boolean => {
      const { stock, holes } = buy(stars);
      return "holes" in aim ? holes <= limit : (priceOf(stock, offers) ?? Infinity) <= limit;
    };
    let stars = 0;
    const most = "holes" in aim ? limit : Math.floor(limit / cheapest);
    for (let low = 1, high = Math.min(milli.length, most); low <= high;) {
      const middle = (low + high) >> 1;
      if (within(middle)) low = (stars = middle) + 1;
      else high = middle - 1;
    }
    return stars;
  };
  const measured = (limit: number): Mix | null => {
    const stars = mostWithin(limit);
    if (stars === 0) return null;
    const { stock } = buy(stars);
    // A diameter that is hardly used is no mix of so many.
    if (stock.some(({ count }) => count === 0)) return null;
    return measure(offers.length === 1 ? "1 diameter" : `${offers.length} diameters`, stock, strands);
  };
  if (!("holes" in aim)) return measured(aim.price);
  // What is bought by tens makes more holes than were aimed at: aim lower by as much, once.
  const first = measured(aim.holes);
  return first && measured(Math.max(1, Math.round((aim.holes * aim.holes) / first.holes)));
}

function measurer(input: AdviceInput, objects: SkyObjects, offers: readonly Offer[]): Measure {
  return (title, stock, settings) => {
    const inStock = stock.reduce((sum, { count }) => sum + count, 0);
    const use = title.startsWith("now") ? Math.min(input.strands.use ?? inStock, inStock) : inStock;
    const aside = Math.round(use * input.asideShare);
    const rest = withoutThinnest(stock, aside);
    const milli = objects.magnitudeMilli.subarray(0, usable(objects, input.faintestMagnitude));
    const plan = planLadder({
      milli,
      stock: rest,
      use: use - aside,
      settings,
      brightestMilli: brightestStar(objects),
      matter: matterRange(objects),
    });
    const own = milli.subarray(0, plan.stars);
    if (own.length === 0) return null;
    const given: Strung[] = assignStrands({
      magnitudesMilli: [...own],
      filler: 0,
      stock: rest,
      use: use - aside,
      scale: plan,
      settings,
    }).real;
    const stars = [...own.keys()].filter((i) => objects.row[i]! >= 0);
    if (stars.length === 0) return null;
    const of = (i: number): Lit => ({ ...given[i]!, milli: own[i]! });
    const [first, last] = [stars[0]!, stars[stars.length - 1]!];
    return {
      title,
      stock: thickestFirst(stock),
      holes: given.length + aside,
      strands: countStrands(given) + aside,
      price: priceOf(stock, offers),
      faintestMagnitude: own[own.length - 1]! / 1000,
      contrastMag: (rendered(given[last]!) - rendered(given[first]!)) / 1000,
      skyContrastMag: (own[last]! - own[first]!) / 1000,
      stepErrorMag: stepErrorOf(stars.map(of), plan),
      skyErrorMag: stepErrorOf(stars.map(of), { exponent: 1, ends: null }),
      leading: leadingOf([...own.keys()].map(of), 10),
      dots: given.map((g, i) => ({ xUm: objects.x[i]!, yUm: objects.y[i]!, light: holeLight(g) })),
    };
  };
}

const rendered = ({ diameterMm, strands }: Strung): number => renderedMilli(diameterMm, strands);

function priceOf(stock: readonly Strands[], offers: readonly Offer[]): number | null {
  let sum = 0;
  for (const { diameterMm, count } of stock) {
    const price = offers.find((offer) => offer.diameterMm === diameterMm)?.price ?? null;
    if (price === null && count > 0) return null;
    sum += (price ?? 0) * count;
  }
  return sum;
}

function usable({ count, magnitudeMilli }: SkyObjects, faintestMagnitude: number | null): number {
  if (faintestMagnitude === null) return count;
  let n = 0;
  while (n < count && magnitudeMilli[n]! <= Math.round(faintestMagnitude * 1000)) n++;
  return n;
}

function brightestStar({ row, magnitudeMilli }: SkyObjects): number | undefined {
  return magnitudeMilli[row.findIndex((r) => r >= 0)];
}
