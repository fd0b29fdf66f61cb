import { magnitudeOf } from "./light.ts";

/** Strands of one diameter. */
export interface Strands {
  diameterMm: number;
  count: number;
}

/** Zero points tried before each is polished: so many, fewer for many objects so that time stays in bounds. */
const MOST_STARTS = 1000;
const LEAST_STARTS = 80;
const STARTS_TIMES_OBJECTS = 600_000;

/**
 * Rendered magnitude of a strand in thousandths, 0 for 1 mm: light goes with the area of the strand's end,
 * whole and alike in every engine.
 */
export const renderedMilli = (diameterMm: number): number => magnitudeOf(diameterMm * diameterMm);

/**
 * A diameter in mm for each real object (magnitudes in thousandths, brightest first) and for `filler` holes.
 * Filler takes the thinnest strands; no fainter object gets a thicker strand than a brighter one; counts keep
 * to the stock. Where the stock leaves a choice, the steps fit the magnitudes in the least squares sense,
 * zero point free, and equal magnitudes get equal strands where the stock allows. Throws RangeError where
 * there are fewer strands than holes.
 */
export function assignDiameters(
  magnitudesMilli: number[],
  filler: number,
  stock: Strands[],
): { real: number[]; filler: number[] } {
  const kinds = thickestFirst(stock);
  const strands = kinds.reduce((sum, { count }) => sum + count, 0);
  if (strands < magnitudesMilli.length + filler)
    throw new RangeError(`expected at least ${magnitudesMilli.length + filler} strands, got ${strands}`);
  const thin: number[] = [];
  for (let k = kinds.length - 1; thin.length < filler; k--)
    while (thin.length < filler && kinds[k]!.count > 0) {
      thin.push(kinds[k]!.diameterMm);
      kinds[k]!.count--;
    }
  const rest = kinds.filter(({ count }) => count > 0);
  const breaks = bestBreaks(
    magnitudesMilli,
    rest.map((k) => renderedMilli(k.diameterMm)),
    rest.map((k) => k.count),
  );
  const real: number[] = [];
  rest.forEach(({ diameterMm }, j) => {
    while (real.length < breaks[j]!) real.push(diameterMm);
  });
  return { real, filler: thin };
}

function thickestFirst(stock: Strands[]): Strands[] {
  const counts = new Map<number, number>();
  for (const { diameterMm, count } of stock) counts.set(diameterMm, (counts.get(diameterMm) ?? 0) + count);
  return [...counts]
    .map(([diameterMm, count]) => ({ diameterMm, count }))
    .sort((p, q) => q.diameterMm - p.diameterMm);
}

/**
 * breaks[j] objects in all get the first j + 1 kinds: the breaks of least variance of magnitude minus rendered
 * magnitude. For one zero point the sum of squares falls apart into one convex term a break, so a chain of
 * clamped minima solves it exactly; the zero point then becomes the mean, until nothing changes.
 */
function bestBreaks(magnitudes: number[], rendered: number[], most: number[]): number[] {
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
function keepTiesTogether(breaks: number[], magnitudes: number[], most: number[]): number[] {
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
