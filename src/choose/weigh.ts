import { UM_PER_MM } from "../geometry/um.ts";
import { makeCeiling } from "../ceiling/ceiling.ts";
import type { Ceiling } from "../ceiling/types.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Job } from "../job/schema.ts";
import type { Night } from "../job/sections/sky.ts";
import { frameAt } from "../sky/frame.ts";
import { makeProjection, planAxes, scaleUm } from "../sky/projection.ts";
import { instantOnClock } from "../sky/time.ts";
import type { Catalog, Instant, SkyFrame } from "../sky/types.ts";
import { castOf, glowNet, glowStand, spreadOf, standOf, type Cast } from "./cast.ts";
import {
  bandOf,
  bandScore,
  emptyKept,
  filledShares,
  glowSpread,
  keepOf,
  sampleCeiling,
  turnsOf,
  type Band,
} from "./score.ts";
import { usableMap, type UsableMap } from "./usableMap.ts";
import { judgingSeat } from "./standing.ts";
import { asksStanding, standingJudge } from "./standingScore.ts";
import { ALL_VIEWS, type Wish } from "./wish.ts";

/** How much each thing weighs in the score; they sum to 1. Our own judgement, no source. */
export const WEIGHTS = { wishes: 0.55, kept: 0.25, steady: 0.08, rich: 0.12 } as const;
/** Scores are compared in whole millionths, so that engines agree. */
const MILLION = 1e6;

/** All that stays the same over a search. */
export interface Search {
  job: Job;
  catalog: Catalog;
  wish: Wish;
  ceiling: Ceiling;
  map: UsableMap;
  cast: Cast;
  /** The chosen night: its field, refraction and so on are kept; time and view are searched. */
  base: Night;
  views: NonNullable<Wish["views"]>;
  /** Where the eye is that judges walls and uprightness. */
  seatMm: PointMm;
  /** Direction of the wished wall on the plan, degrees counter-clockwise from +X; null when not wished. */
  alongDeg: number | null;
  frameOf(jdUt: number): SkyFrame;
}

/** One sky of the search: a time, a view, a turn, and what it keeps. Shares are 0 to 1. */
export interface Candidate {
  /** Indices into the times and views. */
  time: number;
  view: number;
  turnDeg: number;
  /** 0 to 1,000,000. */
  score: number;
  /** Of the light on the ceiling, what finds no spot within reach. */
  lostShare: number;
  /** Of the usable ceiling, what lies over the horizon. */
  filled: number;
  /** Per wish of the cast: its light on the ceiling and kept; stars kept. */
  wishes: number[];
  wishStars: number[];
  band: Band | null;
  bandScore: number;
}

export interface SearchOptions {
  /** Part done, 0 to 1, and what is being done. */
  onProgress?: (share: number, words: string) => void;
  signal?: AbortSignal;
  /** Whether each proposal gets a small picture. */
  pictures?: boolean;
  /** Awaited between times, so that a worker can hear of a cancellation. */
  breathe?: () => Promise<void>;
}

export function prepareSearch(job: Job, catalog: Catalog, wish: Wish, like: Instant): Search {
  const ceiling = makeCeiling(job.ceiling);
  const base = job.sky.options.find((option) => option.id === job.sky.chosen) ?? job.sky.options[0]!;
  const wall = wish.milkyWayAlongWall === undefined ? undefined : ceiling.walls[wish.milkyWayAlongWall];
  const sky = { refraction: base.refraction, extinction: base.extinction, bodies: true };
  return {
    job,
    catalog,
    wish,
    ceiling,
    map: usableMap(ceiling),
    cast: castOf(wish, job, catalog),
    base,
    views: wish.views ?? ALL_VIEWS,
    seatMm: wish.seatMm ?? judgingSeat(job.scene.seats, ceiling),
    alongDeg: wall ? lineDeg(wall.toUm.x - wall.fromUm.x, wall.toUm.y - wall.fromUm.y) : null,
    frameOf: (jdUt) => frameAt(instantOnClock(like, jdUt), wish.place, sky),
  };
}

/** Direction of a line, 0 to 180 degrees counter-clockwise from +X. */
function lineDeg(x: number, y: number): number {
  return ((((Math.atan2(y, x) * 180) / Math.PI) % 180) + 180) % 180;
}

function farthestCorner({ box }: Ceiling, anchorMm: readonly [number, number]): number {
  const dx = Math.max(
    Math.abs(box.minX - anchorMm[0] * UM_PER_MM),
    Math.abs(box.maxX - anchorMm[0] * UM_PER_MM),
  );
  const dy = Math.max(
    Math.abs(box.minY - anchorMm[1] * UM_PER_MM),
    Math.abs(box.maxY - anchorMm[1] * UM_PER_MM),
  );
  return Math.sqrt(dx * dx + dy * dy);
}

/** Columns of numbers, one row for every time, view and turn. */
class Ledger {
  readonly light: Float32Array;
  readonly lost: Float32Array;
  readonly moved: Float32Array;
  readonly wishLight: Float32Array;
  readonly wishStars: Int16Array;
  readonly stands: Float32Array;
  readonly bands: Float32Array;
  constructor(rows: number, wishes: number, withBands: boolean) {
    this.light = new Float32Array(rows);
    this.lost = new Float32Array(rows);
    this.moved = new Float32Array(rows);
    this.wishLight = new Float32Array(rows * wishes);
    this.wishStars = new Int16Array(rows * wishes);
    this.stands = new Float32Array(rows * wishes).fill(1);
    this.bands = new Float32Array(withBands ? rows * 3 : 0);
  }
}

/**
 * Scores every time, view and turn, and returns the best turn of each time and view, best first. Light that
 * no spot within reach would take counts as lost; positions are looked up in the usable map.
 */
export async function weighSkies(
  search: Search,
  times: readonly number[],
  options: SearchOptions = {},
): Promise<Candidate[]> {
  const { job, catalog, wish, ceiling, map, cast, base, views, alongDeg } = search;
  if (times.length === 0) return [];
  const turns = turnsOf(wish.turnStepDeg ?? 1);
  const wishes = cast.wished.length;
  const net = alongDeg === null && !wish.milkyWay ? null : glowNet(catalog);
  const judge = asksStanding(wish) ? standingJudge(search) : null;
  const projections = views.map((view) =>
    makeProjection({ ...view, turnDeg: 0 }, base.field, job.ceiling.bearingDeg, ceiling.box),
  );
  const axes = projections.map(planAxes);
  const anchor = projections[0]!.anchorMm;
  const farthestUm = farthestCorner(ceiling, anchor);
  const sample = sampleCeiling(map, anchor);
  const filled = projections.map((p, v) => filledShares(sample, axes[v]!, scaleUm(p), turns));
  const ledger = new Ledger(times.length * views.length * turns.deg.length, wishes, net !== null);
  const kept = emptyKept(cast);
  let row = 0;
  for (let time = 0; time < times.length; time++) {
    options.signal?.throwIfAborted();
    options.onProgress?.(time / times.length, "Comparing views");
    await options.breathe?.();
    const frame = search.frameOf(times[time]!);
    const stand = standOf(cast, frame, catalog, job.pattern.brightReachMm);
    const glow = net && glowStand(net, frame);
    for (let view = 0; view < views.length; view++) {
      const spread = spreadOf(stand, projections[view]!, farthestUm);
      const judged = judge?.(frame, projections[view]!, axes[view]!);
      const glows = glow && glowSpread(glow, projections[view]!, axes[view]!, farthestUm);
      for (let t = 0; t < turns.deg.length; t++, row++) {
        keepOf(spread, turns.sin[t]!, turns.cos[t]!, map, kept);
        ledger.light[row] = kept.light;
        ledger.lost[row] = kept.lost;
        ledger.moved[row] = kept.moved;
        ledger.wishLight.set(kept.wishLight, row * wishes);
        ledger.wishStars.set(kept.wishStars, row * wishes);
        if (judged) ledger.stands.set(judged(turns.sin[t]!, turns.cos[t]!), row * wishes);
        if (!glows) continue;
        const band = bandOf(glows, anchor, turns.sin[t]!, turns.cos[t]!, map);
        ledger.bands.set([band.share, band.axisDeg, band.straight], 3 * row);
      }
    }
  }
  return bestTurns(search, ledger, filled, turns.deg, times.length);
}

function bestTurns(
  { cast, views, alongDeg }: Search,
  ledger: Ledger,
  filled: Float64Array[],
  turnsDeg: number[],
  times: number,
): Candidate[] {
  const wishes = cast.wished.length;
  let richest = 0;
  let usualShare = 0;
  ledger.light.forEach((light, row) => (richest = Math.max(richest, light - ledger.lost[row]!)));
  for (let i = 0; i < ledger.bands.length; i += 3) usualShare = Math.max(usualShare, ledger.bands[i]!);
  const best: Candidate[] = [];
  for (let time = 0, row = 0; time < times; time++) {
    for (let view = 0; view < views.length; view++) {
      let top: Candidate | null = null;
      for (let t = 0; t < turnsDeg.length; t++, row++) {
        const light = ledger.light[row]!;
        const lostShare = light > 0 ? ledger.lost[row]! / light : 1;
        let granted = 0;
        for (let w = 0; w < wishes; w++) {
          const share = ledger.wishLight[row * wishes + w]! / (cast.wished[w]!.light || 1);
          granted += (share < 1 ? share : 1) * ledger.stands[row * wishes + w]!;
        }
        const band: Band | null =
          ledger.bands.length === 0
            ? null
            : {
                share: ledger.bands[3 * row]!,
                axisDeg: ledger.bands[3 * row + 1]!,
                straight: ledger.bands[3 * row + 2]!,
              };
        const lies = band ? bandScore(band, alongDeg, usualShare) : 0;
        const asked = wishes + (band ? 1 : 0);
        const part =
          WEIGHTS.wishes * (asked === 0 ? 1 : (granted + lies) / asked) +
          WEIGHTS.kept * (1 - lostShare) +
          WEIGHTS.steady * (light > 0 ? 1 - ledger.moved[row]! / light : 0) +
          WEIGHTS.rich * (richest > 0 ? Math.sqrt((light - ledger.lost[row]!) / richest) : 0);
        const over = filled[view]![t]!;
        const score = Math.round(MILLION * part * over * over);
        if (top !== null && score <= top.score) continue;
        const from = row * wishes;
        top = {
          time,
          view,
          turnDeg: turnsDeg[t]!,
          score,
          lostShare,
          filled: over,
          wishes: Array.from({ length: wishes }, (_, w) =>
            Math.min(1, ledger.wishLight[from + w]! / (cast.wished[w]!.light || 1)),
          ),
          wishStars: Array.from(ledger.wishStars.subarray(from, from + wishes)),
          band,
          bandScore: lies,
        };
      }
      if (top) best.push(top);
    }
  }
  return best.sort((a, b) => b.score - a.score || a.time - b.time || a.view - b.view);
}
