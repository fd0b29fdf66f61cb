import {
  thickestFirst,
  renderedMilli,
  rungsOf,
  type LadderSettings,
  type Rung,
  type Strands,
} from "./rungs.ts";

/**
 * The compressed magnitude scale: a star of m thousandths of a magnitude should shine like a rendered
 * magnitude of `exponent` x m + `zeroMilli`.
 */
export interface Scale {
  exponent: number;
  zeroMilli: number;
  /** Where constellations that matter have the whole ladder: what is brighter or fainter than theirs shares its ends. */
  ends: Ends | null;
}

/** A range of magnitudes, in thousandths. */
export interface Ends {
  fromMilli: number;
  toMilli: number;
}

export interface LadderPlan extends Scale {
  /** Real stars, brightest first, that these strands make. */
  stars: number;
  /** Strands that they leave, none with more light than the faintest of them. */
  thinLeft: number;
}

/** The faintest star lies this far below the last rung: as much as may be off, root mean square, anywhere. */
export const STEP_TOLERANCE_MILLI = 250;
/** So many stars lead: none of them shares its light with one that does not. To part them they are lifted by such steps. */
const LEADERS = 10;
const LIFT_MILLI = 25;
const MOST_LIFTS = 32;
/** Magnitudes are never stretched. */
const STEEPEST = 1;
/** Rounds in which prices of the kinds settle: while planning what takes more counts as out of reach. */
const ROUNDS = { planning: 8, final: 60 } as const;
/** Where the stock can't carry the scale after all, stars are dimmed together by such steps, so many at most. */
const DIMMING_MILLI = 50;
const MOST_DIMMINGS = 40;
/** Where a strand of the faintest stars' kind is dearer than this, one star fewer serves the others better. */
const DEAREST = STEP_TOLERANCE_MILLI ** 2;
/** Prices are found to this share of theirs, or to 1. */
const PRICE_STEP = 1 / 256;
const FIRST_PRICE = 4096;
/** A price at which nobody takes a strand, in squared thousandths of a magnitude. */
const FORBIDDING = 2 ** 40;

/**
 * How many of these stars (thousandths of a magnitude, brightest first) the strands make, and on which scale:
 * as many as possible while no more strands are wished for than there are, light following the scale as closely
 * as the stock allows. Without an exponent of the job's the scale leads from the brightest star and the fullest
 * hole to the faintest star and the thinnest strand. `matter` gives the whole ladder to a range of magnitudes, a
 * figure's that matters to the client: what is brighter or fainter shares its ends.
 */
export function planLadder({
  milli,
  stock,
  use,
  settings,
  brightestMilli = milli[0] ?? 0,
  matter = null,
}: {
  milli: ArrayLike<number>;
  stock: readonly Strands[];
  use: number;
  settings: LadderSettings;
  brightestMilli?: number;
  matter?: Ends | null;
}): LadderPlan {
  const kinds = thickestFirst(stock);
  const most = Math.min(milli.length, use, total(kinds));
  const rungs = rungsOf(kinds, settings);
  if (most === 0)
    return {
      exponent: settings.lightExponent ?? STEEPEST,
      zeroMilli: 0,
      ends: null,
      stars: 0,
      thinLeft: Math.min(use, total(kinds)),
    };
  let best: (LadderPlan & { off: number }) | null = null;
  for (const base of basesOf(kinds)) {
    const { diameterMm } = kinds[base]!;
    const bottomMilli = renderedMilli(diameterMm) + STEP_TOLERANCE_MILLI;
    const scaleFor = (stars: number): Scale => {
      const toMilli = Math.min(matter?.toMilli ?? Infinity, milli[stars - 1]!);
      const span = toMilli - (matter?.fromMilli ?? brightestMilli);
      const derived = span > 0 ? (bottomMilli - rungs[0]!.milli) / span : STEEPEST;
      const exponent =
        settings.lightExponent ?? Math.max(0.001, Math.floor(Math.min(STEEPEST, derived) * 1000) / 1000);
      return { exponent, zeroMilli: bottomMilli - Math.round(exponent * toMilli), ends: matter };
    };
    if (settings.mostPerHole === 1) return { ...scaleFor(most), stars: most, thinLeft: use - most };
    const makes = (stars: number): Climb | null => {
      const found = climbFor(wishes(milli, stars, scaleFor(stars), rungs), rungs, kinds, {
        use: Infinity,
        rounds: ROUNDS.planning,
        base,
      });
      return found && found.strands <= use ? found : null;
    };
    let stars = 0;
    for (let low = 1, high = most; low <= high;) {
      const middle = (low + high) >> 1;
      if (makes(middle)) low = (stars = middle) + 1;
      else high = middle - 1;
    }
    const found = stars > 0 ? makes(stars) : null;
    if (!found) continue;
    const scale = scaleFor(stars);
    const held = matter ? heldTo(matter, milli, stars) : milli;
    const off = misfit(wishes(held, stars, scale, rungs), found.ends, rungs);
    const plan = {
      ...scale,
      stars,
      thinLeft: Math.min(use - found.strands, thinLeft(found, rungs, kinds)),
      off,
    };
    if (!best || better(plan, best)) best = plan;
  }
  const { exponent, zeroMilli, ends, stars, thinLeft: left } = best!;
  return { exponent, zeroMilli, ends, stars, thinLeft: left };
}

/** Strands left over whose light is no more than that of the last rung taken. */
function thinLeft({ ends, used }: Climb, rungs: readonly Rung[], kinds: readonly Strands[]): number {
  const last = rungs[ends.findIndex((end) => end === ends[ends.length - 1])]!;
  return kinds.reduce(
    (sum, { diameterMm, count }, k) =>
      renderedMilli(diameterMm) >= last.milli ? sum + count - used[k]! : sum,
    0,
  );
}

/** Kinds that the faintest stars may have: from the thinnest on, until half of all strands are at hand. */
function basesOf(kinds: readonly Strands[]): number[] {
  const bases: number[] = [];
  for (let k = kinds.length - 1, thinner = 0; k >= 0 && 2 * thinner < total(kinds); k--) {
    bases.push(k);
    thinner += kinds[k]!.count;
  }
  return bases;
}

/** Among scales within the tolerance more stars are better, else the smaller misfit. */
function better(p: { stars: number; off: number }, q: { stars: number; off: number }): boolean {
  const within = (plan: { off: number }) => plan.off <= STEP_TOLERANCE_MILLI;
  if (within(p) && within(q)) return p.stars > q.stars;
  return within(p) || (!within(q) && p.off < q.off);
}

/**
 * A rung for every star, brightest first, or null where the stock can't carry that. A star's rung depends on its
 * magnitude alone, and never rises as stars grow fainter.
 */
export function climb(
  milli: ArrayLike<number>,
  scale: Scale,
  stock: readonly Strands[],
  use: number,
  settings: LadderSettings,
): Rung[] | null {
  const kinds = thickestFirst(stock);
  const rungs = rungsOf(kinds, settings);
  for (let dimming = 0; dimming <= MOST_DIMMINGS; dimming++) {
    const dimmed = { ...scale, zeroMilli: scale.zeroMilli + dimming * DIMMING_MILLI };
    const wished = wishes(milli, milli.length, dimmed, rungs);
    const limits = { use, rounds: ROUNDS.final, base: -1 };
    const plain = climbFor(wished, rungs, kinds, limits);
    if (!plain) continue;
    const { ends } = leading(plain) ?? plain;
    const given: Rung[] = [];
    ends.forEach((end, j) => {
      while (given.length < end) given.push(rungs[j]!);
    });
    return given;

    /** The ten brightest lifted together by the least that parts them from the eleventh; null where nothing does. */
    function leading(found: Climb): Climb | null {
      if (milli[LEADERS - 1] === milli[LEADERS]) return null;
      for (let lift = 0; lift <= MOST_LIFTS && !parts(found); lift++) {
        for (let i = 0; i < LEADERS; i++) wished[i] = Math.max(rungs[0]!.milli, wished[i]! - LIFT_MILLI);
        const lifted = climbFor(wished, rungs, kinds, limits);
        if (!lifted) return null;
        found = lifted;
      }
      return parts(found) ? found : null;
    }
  }
  return null;
}

/** Rendered magnitudes that the scale asks for, in whole thousandths, never falling; none beyond the fullest hole. */
function wishes(
  milli: ArrayLike<number>,
  stars: number,
  { exponent, zeroMilli }: Omit<Scale, "ends">,
  rungs: readonly Rung[],
): Int32Array {
  const wished = new Int32Array(stars);
  const top = rungs[0]?.milli ?? 0;
  for (let i = 0; i < stars; i++) wished[i] = Math.max(top, Math.round(exponent * milli[i]!) + zeroMilli);
  return wished;
}

/** Whether the leaders share no rung with the others, or there are no others. */
const parts = ({ ends }: Climb): boolean => ends[ends.length - 1]! <= LEADERS || ends.includes(LEADERS);

interface Climb {
  /** So many stars in all have this rung or a brighter one. */
  ends: Int32Array;
  /** Strands that all of them take, and of each kind. */
  strands: number;
  used: Float64Array;
}

/**
 * The rungs of least squared error under limits, by prices: every kind of strand costs what makes the stock just
 * last, and every star takes what suits it best at these prices. For a star that wishes t, rung j costs
 * (r - t)^2 + price, that is t^2 plus a line in t: the lower envelope of the lines tells which stars take which rung,
 * in the order of brightness. Kinds stand in for each other, so that prices which only rise settle at the least
 * ones that do (Kelso and Crawford 1982); null where they don't, or where kind `base` gets too dear. Whole numbers throughout, so alike in every engine.
 */
function climbFor(
  wished: Int32Array,
  rungs: readonly Rung[],
  kinds: readonly Strands[],
  { use, rounds, base }: { use: number; rounds: number; base: number },
): Climb | null {
  const prices = new Float64Array(kinds.length + 1);
  const ends = new Int32Array(rungs.length);
  const used = new Float64Array(kinds.length + 1);
  const limit = (k: number) => (k < kinds.length ? kinds[k]!.count : use);
  const ask = () => envelope(wished, rungs, prices, ends, used);
  ask();
  for (let round = 0; round < rounds; round++) {
    let settled = true;
    for (let k = 0; k <= kinds.length; k++) {
      if (used[k]! <= limit(k)) continue;
      settled = false;
      let low = prices[k]!;
      let high = Math.max(FIRST_PRICE, 2 * low);
      for (; ; high *= 2) {
        prices[k] = high;
        ask();
        if (used[k]! <= limit(k)) break;
        low = high;
        if (high > FORBIDDING) return null;
      }
      while (high - low > Math.max(1, high * PRICE_STEP)) {
        const middle = Math.floor((low + high) / 2);
        prices[k] = middle;
        ask();
        if (used[k]! <= limit(k)) high = middle;
        else low = middle;
      }
      prices[k] = high;
      if (k === base && high > DEAREST) return null;
      ask();
    }
    if (settled) return { ends, strands: used[kinds.length]!, used };
  }
  return null;
}

/** Who takes which rung at these prices, and how many strands of each kind (the last: of all) that uses. */
function envelope(
  wished: Int32Array,
  rungs: readonly Rung[],
  prices: Float64Array,
  ends: Int32Array,
  used: Float64Array,
): void {
  const kinds = prices.length - 1;
  const costs = rungs.map(
    ({ milli, kind, strands }) => milli * milli + strands * (prices[kind]! + prices[kinds]!),
  );
  /** From which wish on rung j is cheaper than i. */
  const crossing = (i: number, j: number) =>
    (costs[j]! - costs[i]!) / (2 * (rungs[j]!.milli - rungs[i]!.milli));
  const hull: number[] = [];
  for (let j = 0; j < rungs.length; j++) {
    while (hull.length > 0) {
      const last = hull[hull.length - 1]!;
      const from = hull.length > 1 ? crossing(hull[hull.length - 2]!, last) : -Infinity;
      if (crossing(last, j) > from) break;
      hull.pop();
    }
    hull.push(j);
  }
  used.fill(0);
  ends.fill(0);
  let at = 0;
  for (let h = 0; h < hull.length; h++) {
    const j = hull[h]!;
    const end = h + 1 < hull.length ? firstFrom(wished, crossing(j, hull[h + 1]!)) : wished.length;
    const stars = Math.max(0, end - at);
    at = Math.max(at, end);
    ends[j] = at;
    const { kind, strands } = rungs[j]!;
    used[kind]! += stars * strands;
    used[kinds]! += stars * strands;
  }
  for (let j = 1; j < rungs.length; j++) ends[j] = Math.max(ends[j]!, ends[j - 1]!);
}

/** Index of the first wish of at least t. */
function firstFrom(wished: Int32Array, t: number): number {
  let low = 0;
  let high = wished.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (wished[middle]! < t) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Root mean square of rendered minus wished, best zero point taken away, in thousandths of a magnitude. */
function misfit(wished: Int32Array, ends: Int32Array, rungs: readonly Rung[]): number {
  let sum = 0;
  let squares = 0;
  for (let i = 0, j = 0; i < wished.length; i++) {
    while (ends[j]! <= i) j++;
    const off = rungs[j]!.milli - wished[i]!;
    sum += off;
    squares += off * off;
  }
  const mean = sum / wished.length;
  return Math.sqrt(Math.max(0, squares / wished.length - mean * mean));
}

/** A magnitude within the ends of the ladder: beyond them stars share its first or last step. */
export const heldIn = (ends: Ends | null, milli: number): number =>
  ends ? Math.min(ends.toMilli, Math.max(ends.fromMilli, milli)) : milli;

/** "magnitude 0.2 to 4.4". */
export const magnitudes = ({ fromMilli, toMilli }: Ends): string =>
  `magnitude ${(fromMilli / 1000).toFixed(1)} to ${(toMilli / 1000).toFixed(1)}`;

const heldTo = (ends: Ends, milli: ArrayLike<number>, stars: number): Int32Array =>
  Int32Array.from({ length: stars }, (_, i) => heldIn(ends, milli[i]!));

const total = (kinds: readonly Strands[]): number => kinds.reduce((sum, { count }) => sum + count, 0);
