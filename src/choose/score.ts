import { UM_PER_MM } from "../geometry/um.ts";
import { sinCosDeg } from "../sky/exactTrig.ts";
import { scaleUm, stereographic } from "../sky/projection.ts";
import type { Projection } from "../sky/types.ts";
import type { Cast, Spread } from "./cast.ts";
import { OUTSIDE, type UsableMap } from "./usableMap.ts";

/** Directions of the picture tried: sines and cosines, worked out once. */
export interface Turns {
  deg: number[];
  sin: Float64Array;
  cos: Float64Array;
}

export function turnsOf(stepDeg: number): Turns {
  const deg = Array.from({ length: Math.floor(360 / stepDeg + 1e-9) }, (_, i) => i * stepDeg);
  const pairs = deg.map((d) => sinCosDeg(d));
  return { deg, sin: Float64Array.from(pairs, (p) => p[0]), cos: Float64Array.from(pairs, (p) => p[1]) };
}

/** What one turn of one view keeps, all shares 0 to 1. */
export interface Kept {
  /** Light on the outline, and of it the light that finds no spot within reach. */
  light: number;
  lost: number;
  /** Light-weighted part of the reach that kept stars must move. */
  moved: number;
  /** Per wish: light on the ceiling and kept; stars kept. */
  wishLight: Float64Array;
  wishStars: Int32Array;
}

export function emptyKept(cast: Cast): Kept {
  const n = cast.wished.length;
  return { light: 0, lost: 0, moved: 0, wishLight: new Float64Array(n), wishStars: new Int32Array(n) };
}

/** Sums a turn up, by looking every star up in the map. This is the search's inner loop. */
export function keepOf(spread: Spread, sin: number, cos: number, map: UsableMap, into: Kept): void {
  const { x, y, projection, reachMm, wishes } = spread;
  const { width, height, distanceMm } = map;
  const perCell = 1 / map.cellUm;
  const fromX = (projection.anchorMm[0] * UM_PER_MM - map.minX) * perCell;
  const fromY = (projection.anchorMm[1] * UM_PER_MM - map.minY) * perCell;
  const s = sin * perCell;
  const c = cos * perCell;
  const wished = into.wishLight.length;
  let light = 0;
  let lost = 0;
  let moved = 0;
  into.wishLight.fill(0);
  into.wishStars.fill(0);
  for (let i = 0; i < x.length; i++) {
    const k = Math.floor(fromX + c * x[i]! + s * y[i]!);
    const j = Math.floor(fromY + c * y[i]! - s * x[i]!);
    if (k < 0 || j < 0 || k >= width || j >= height) continue;
    const distance = distanceMm[j * width + k]!;
    if (distance === OUTSIDE) continue;
    const shines = spread.light[i]!;
    light += shines;
    if (distance > 0) {
      const reach = reachMm[i]!;
      if (distance > reach) {
        lost += shines;
        continue;
      }
      moved += (shines * distance) / reach;
    }
    const bits = wishes[i]!;
    if (bits === 0) continue;
    for (let bit = 0; bit < wished; bit++) {
      if ((bits & (1 << bit)) === 0) continue;
      into.wishLight[bit] = into.wishLight[bit]! + spread.wishLight[i]!;
      into.wishStars[bit] = into.wishStars[bit]! + 1;
    }
  }
  into.light = light;
  into.lost = lost;
  into.moved = moved;
}

/** Spots of the usable ceiling, an even sample, relative to the anchor in micrometres. */
export interface FloorSample {
  x: Float64Array;
  y: Float64Array;
}

export function sampleCeiling(
  map: UsableMap,
  anchorMm: readonly [number, number],
  points = 300,
): FloorSample {
  const usable: number[] = [];
  map.distanceMm.forEach((d, i) => d === 0 && usable.push(i));
  const every = Math.max(1, usable.length / points);
  const xs: number[] = [];
  const ys: number[] = [];
  for (let at = every / 2; at < usable.length; at += every) {
    const i = usable[Math.floor(at)]!;
    xs.push(map.minX + ((i % map.width) + 0.5) * map.cellUm - anchorMm[0] * UM_PER_MM);
    ys.push(map.minY + (Math.floor(i / map.width) + 0.5) * map.cellUm - anchorMm[1] * UM_PER_MM);
  }
  return { x: Float64Array.from(xs), y: Float64Array.from(ys) };
}

/**
 * Share of the usable ceiling that lies over the horizon, for every turn of a view. Below the horizon there
 * is no star and the ceiling stays black. `axes` are the plan axes of the unturned view.
 */
export function filledShares(
  sample: FloorSample,
  axes: Float64Array,
  scale: number,
  turns: Turns,
): Float64Array {
  const shares = new Float64Array(turns.deg.length);
  const upX = axes[2]!;
  const upY = axes[5]!;
  const upZ = axes[8]!;
  for (let t = 0; t < shares.length; t++) {
    const s = turns.sin[t]!;
    const c = turns.cos[t]!;
    let above = 0;
    for (let i = 0; i < sample.x.length; i++) {
      // Turn the spot back, then the inverse stereographic rule; only the height matters.
      const u = (c * sample.x[i]! - s * sample.y[i]!) / scale;
      const v = (c * sample.y[i]! + s * sample.x[i]!) / scale;
      const q = u * u + v * v;
      if (2 * u * upX + 2 * v * upY + (1 - q) * upZ > 0) above++;
    }
    shares[t] = sample.x.length === 0 ? 0 : above / sample.x.length;
  }
  return shares;
}

/** How the Milky Way lies on the ceiling at one turn. */
export interface Band {
  /** Share of the band's light in the sky that falls on the room. */
  share: number;
  /** Direction of its long axis on the plan, degrees counter-clockwise from +X, 0 to 180. */
  axisDeg: number;
  /** 0 round, 1 a line. */
  straight: number;
}

/** The glow as it falls on the plan of a view, unturned, from the anchor. */
export interface GlowSpread {
  x: Float64Array;
  y: Float64Array;
  level: Float64Array;
  /** Sum of the levels of all that is up, on the ceiling or not. */
  whole: number;
}

export function glowSpread(
  stand: { places: [number, number, number][]; level: number[] },
  projection: Projection,
  axes: Float64Array,
  farthestUm: number,
): GlowSpread {
  const scale = scaleUm(projection);
  const xs: number[] = [];
  const ys: number[] = [];
  const levels: number[] = [];
  let whole = 0;
  stand.places.forEach(([n, e, u], i) => {
    whole += stand.level[i]!;
    const flat = stereographic(
      axes[0]! * n + axes[1]! * e + axes[2]! * u,
      axes[3]! * n + axes[4]! * e + axes[5]! * u,
      axes[6]! * n + axes[7]! * e + axes[8]! * u,
    );
    if (flat === null) return;
    const x = flat[0] * scale;
    const y = flat[1] * scale;
    if (x * x + y * y > farthestUm * farthestUm) return;
    xs.push(x);
    ys.push(y);
    levels.push(stand.level[i]!);
  });
  return { x: Float64Array.from(xs), y: Float64Array.from(ys), level: Float64Array.from(levels), whole };
}

/** Second moments of the glow that falls inside the room at a turn. */
export function bandOf(
  glow: GlowSpread,
  anchorMm: readonly [number, number],
  sin: number,
  cos: number,
  map: UsableMap,
): Band {
  const { width, height, distanceMm } = map;
  const perCell = 1 / map.cellUm;
  const fromX = anchorMm[0] * UM_PER_MM - map.minX;
  const fromY = anchorMm[1] * UM_PER_MM - map.minY;
  let w = 0;
  let sx = 0;
  let sy = 0;
  let sxx = 0;
  let syy = 0;
  let sxy = 0;
  for (let i = 0; i < glow.x.length; i++) {
    const x = cos * glow.x[i]! + sin * glow.y[i]!;
    const y = cos * glow.y[i]! - sin * glow.x[i]!;
    const k = Math.floor((fromX + x) * perCell);
    const j = Math.floor((fromY + y) * perCell);
    if (k < 0 || j < 0 || k >= width || j >= height) continue;
    if (distanceMm[j * width + k] === OUTSIDE) continue;
    const level = glow.level[i]!;
    w += level;
    sx += level * x;
    sy += level * y;
    sxx += level * x * x;
    syy += level * y * y;
    sxy += level * x * y;
  }
  if (w === 0) return { share: 0, axisDeg: 0, straight: 0 };
  const xx = sxx / w - (sx / w) * (sx / w);
  const yy = syy / w - (sy / w) * (sy / w);
  const xy = sxy / w - (sx / w) * (sy / w);
  const split = Math.sqrt((xx - yy) * (xx - yy) + 4 * xy * xy);
  const axisDeg = (Math.atan2(2 * xy, xx - yy) * 90) / Math.PI;
  return {
    share: glow.whole > 0 ? w / glow.whole : 0,
    axisDeg: (axisDeg + 180) % 180,
    straight: xx + yy > 0 ? split / (xx + yy) : 0,
  };
}

/** Angle between two lines (not arrows), 0 to 90 degrees. */
export function betweenLinesDeg(aDeg: number, bDeg: number): number {
  const apart = Math.abs(aDeg - bDeg) % 180;
  return apart > 90 ? 180 - apart : apart;
}

/** How well a band lies on the ceiling, 0 to 1: there at all and, along a wanted direction, long and parallel. */
export function bandScore(band: Band, alongDeg: number | null, usualShare: number): number {
  const there = usualShare > 0 ? Math.min(1, band.share / usualShare) : 0;
  if (alongDeg === null) return there;
  const parallel = 1 - betweenLinesDeg(band.axisDeg, alongDeg) / 90;
  return there * (0.3 * band.straight + 0.7 * parallel * parallel);
}
