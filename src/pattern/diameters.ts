import { climb, type Scale } from "./ladder.ts";
import type { Strung } from "./packing.ts";
import { renderedMilli, thickestFirst, type LadderSettings, type Strands } from "./rungs.ts";

/** Zero points tried before each is polished: so many, fewer for many objects so that time stays in bounds. */
const MOST_STARTS = 1000;
const LEAST_STARTS = 80;
const STARTS_TIMES_OBJECTS = 600_000;

/**
 * Strands for each real object (magnitudes in thousandths, brightest first) and for `filler` holes, at most `use` in
 * all. Filler takes the thinnest strands; no fainter object gets more light than a brighter one; counts keep to the
 * stock. Throws RangeError where there are fewer strands than holes.
 */
export function assignStrands({
  magnitudesMilli,
  filler,
  stock,
  use,
  scale,
  settings,
}: {
  magnitudesMilli: readonly number[];
  filler: number;
  stock: readonly Strands[];
  use: number;
  scale: Scale;
  settings: LadderSettings;
}): { real: Strung[]; filler: Strung[] } {
  const { thin, rest } = thinnest(filler, stock, magnitudesMilli.length);
  const real = settings.mostPerHole > 1 ? climb(magnitudesMilli, scale, rest, use - filler, settings) : null;
  return { real: real ?? singles(magnitudesMilli, rest, scale.exponent), filler: thin };
}

/** The thinnest strands, one for each filler hole, and the stock that is left. */
function thinnest(
  filler: number,
  stock: readonly Strands[],
  besides: number,
): { thin: Strung[]; rest: Strands[] } {
  const kinds = thickestFirst(stock);
  const strands = kinds.reduce((sum, { count }) => sum + count, 0);
  if (strands < besides + filler)
    throw new RangeError(`expected at least ${besides + filler} strands, got ${strands}`);
  const thin: Strung[] = [];
  for (let k = kinds.length - 1; thin.length < filler; k--)
    for (; thin.length < filler && kinds[k]!.count > 0; kinds[k]!.count--)
      thin.push({ diameterMm: kinds[k]!.diameterMm, strands: 1 });
  return { thin, rest: kinds.filter(({ count }) => count > 0) };
}

/** One strand in every hole: the best fit to the scale that the stock allows. */
function singles(magnitudesMilli: readonly number[], kinds: readonly Strands[], exponent: number): Strung[] {
  const rungs = kinds.map(({ diameterMm, count }) => ({ diameterMm, strands: 1, holes: count }));
  return giveRungs(
    magnitudesMilli.map((m) => Math.round(exponent * m)),
    rungs,
  );
}

/**
 * A rung for each object (wished magnitudes in thousandths, brightest first), each rung for so many holes: the steps
 * fit the wishes in the least squares sense, zero point free, and equal wishes get equal rungs where the counts allow.
 */
export function giveRungs(
  wishedMilli: readonly number[],
  rungs: readonly (Strung & { holes: number })[],
): Strung[] {
  const milli = new Map(rungs.map((rung) => [rung, renderedMilli(rung.diameterMm, rung.strands)]));
  const sorted = [...rungs].sort((p, q) => milli.get(p)! - milli.get(q)!);
  const breaks = bestBreaks(
    wishedMilli,
    sorted.map((rung) => milli.get(rung)!),
    sorted.map(({ holes }) => holes),
  );
  const given: Strung[] = [];
  sorted.forEach(({ diameterMm, strands }, j) => {
    while (given.length < breaks[j]!) given.push({ diameterMm, strands });
  });
  return given;
}

/**
 * breaks[j] objects in all get the first j + 1 kinds: the breaks of least variance of magnitude minus rendered
 * magnitude. For one zero point the sum of squares falls apart into one convex term a break, so a chain of
 * clamped minima solves it exactly; the zero point then becomes the mean, until nothing changes.
 */
function bestBreaks(magnitudes: readonly number[], rendered: number[], most: number[]): number[] {
  const n = magnitudes.length;
  const kinds = rendered.length;
  if (n === 0 || kinds <= 1) return new Array<number>(kinds).fill(n);
  const sum = [0];
  const squares = [0];
  for (const m of magnitudes) {
    sum.push(sum[sum.length - 1]! + m);
    squares.push(squares[squares.length - 1]! + m * m);
  }
  const spread = (breaks: number[]) => {
    let residuals = 0;
    let total = squares[n]!;
    breaks.forEach((b, j) => {
      const from = j ? breaks[j - 1]! : 0;
      const part = sum[b]! - sum[from]!;
      residuals += part - (b - from) * rendered[j]!;
      total += (b - from) * rendered[j]! * rendered[j]! - 2 * rendered[j]! * part;
    });
    return { variance: total - (residuals / n) * residuals, zero: Math.round(residuals / n) };
  };
  let best: number[] = [];
  let least = Infinity;
  const tried = new Set<number>();
  const first = magnitudes[0]! - rendered[kinds - 1]!;
  const last = magnitudes[n - 1]! - rendered[0]!;
  const forced = most.reduce((total, count) => total + count, 0) === n;
  const starts = Math.min(MOST_STARTS, Math.max(LEAST_STARTS, Math.floor(STARTS_TIMES_OBJECTS / n)));
  for (let k = 0; k <= (forced ? 0 : starts); k++)
    for (let zero = first + Math.round(((last - first) * k) / starts); !tried.has(zero);) {
      tried.add(zero);
      const breaks = breaksAt(zero, sum, rendered, most);
      const { variance, zero: mean } = spread(breaks);
      if (variance < least) {
        least = variance;
        best = breaks;
      }
      zero = mean;
    }
  return keepTiesTogether(best, magnitudes, most);
}

/** Best breaks for one zero point (all in thousandths, exact). */
function breaksAt(zero: number, sum: number[], rendered: number[], most: number[]): number[] {
  const n = sum.length - 1;
  const kinds = rendered.length;
  const low: number[] = new Array<number>(kinds).fill(0);
  const high: number[] = new Array<number>(kinds).fill(n);
  for (let j = kinds - 1, after = 0; j >= 0; after += most[j]!, j--) low[j] = Math.max(0, n - after);
  for (let j = 0, before = 0; j < kinds; j++) high[j] = Math.min(n, (before += most[j]!));
  const lowest: number[] = [];
  let previous: Float64Array | null = null;
  for (let j = 0; j < kinds - 1; j++) {
    const step = rendered[j + 1]! - rendered[j]!;
    const middle = rendered[j]! + rendered[j + 1]! + 2 * zero;
    const costs = new Float64Array(high[j]! - low[j]! + 1);
    let at = low[j]!;
    for (let b = low[j]!; b <= high[j]!; b++) {
      let cost = step * (2 * sum[b]! - b * middle);
      if (previous) cost += previous[clamp(lowest[j - 1]!, j, b) - low[j - 1]!]!;
      costs[b - low[j]!] = cost;
      if (cost < costs[at - low[j]!]!) at = b;
    }
    lowest.push(at);
    previous = costs;
  }
  const breaks = new Array<number>(kinds).fill(n);
  for (let j = kinds - 2; j >= 0; j--) breaks[j] = clamp(lowest[j]!, j + 1, breaks[j + 1]!);
  return breaks;

  /** Break j - 1 nearest to the wished one that break j at b allows. */
  function clamp(wish: number, j: number, b: number): number {
    return Math.max(b - most[j]!, low[j - 1]!, Math.min(wish, b, high[j - 1]!));
  }
}

/** Moves a break that parts equal magnitudes to the nearer end of their run, or the other one, if stock allows. */
function keepTiesTogether(breaks: number[], magnitudes: readonly number[], most: number[]): number[] {
  const result = [...breaks];
  for (let j = 0; j < result.length - 1; j++) {
    const b = result[j]!;
    if (b === 0 || b === magnitudes.length || magnitudes[b - 1] !== magnitudes[b]) continue;
    let start = b;
    while (start > 0 && magnitudes[start - 1] === magnitudes[b]) start--;
    let end = b;
    while (end < magnitudes.length && magnitudes[end] === magnitudes[b]) end++;
    const before = j ? result[j - 1]! : 0;
    const after = result[j + 1]!;
    const allowed = [start, end].filter(
      (c) => c >= before && c - before <= most[j]! && c <= after && after - c <= most[j + 1]!,
    );
    allowed.sort((p, q) => Math.abs(p - b) - Math.abs(q - b));
    if (allowed.length) result[j] = allowed[0]!;
  }
  return result;
}
