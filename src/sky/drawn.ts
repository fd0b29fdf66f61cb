import type { PointMm } from "../geometry/types.ts";
import type { Vector } from "./linear.ts";
import { apply, dot, horizontalDirection, unit } from "./linear.ts";
import { bodyDirection, starSeenAt } from "./project.ts";
import { planAxes, scaleUm, stereographic } from "./projection.ts";
import { tanHalfDeg } from "./trig.ts";
import type { Body, Catalog, Projection, SkyFrame, StarTable } from "./types.ts";
import { toMm } from "../geometry/um.ts";

/** Curves are drawn as chords no longer than this arc. */
const CHORD_DEG = 1;
/** Drawings end this many picture radii from the anchor: far beyond any ceiling, well before the antipode. */
const FARTHEST_RADII = 20;

/** A curve on the plan as polylines, mm; several where the horizon or the antipode cuts it, [] when out of sight. */
export type Curve = PointMm[][];

export interface DrawnFigure {
  abbreviation: string;
  name: string;
  lines: Curve;
  /** Where its name belongs: the middle of its stars that are up; null when none is. */
  labelMm: PointMm | null;
}

/** Things to draw over a sky. Plan coordinates in mm, not cut to the ceiling's outline. */
export interface DrawnSky {
  figures: DrawnFigure[];
  horizon: Curve;
  /** Circles of equal altitude (15, 30 ... 75 degrees) and of azimuth (every 30 degrees). */
  altitudes: { altitudeDeg: number; lines: Curve }[];
  azimuths: { azimuthDeg: number; lines: Curve }[];
  /** N, NE, E ... on the horizon; null near the antipode. */
  cardinals: { name: string; atMm: PointMm | null }[];
  /** The Moon and planets that are up. */
  bodies: { body: Body; atMm: PointMm }[];
}

interface Pencil {
  /** Plan axes: view centre at +z. */
  axes: Float64Array;
  scaleMm: number;
  anchorMm: PointMm;
  /** Least view z that is drawn. */
  lowest: number;
}

function pencilFor(projection: Projection): Pencil {
  const farthest = FARTHEST_RADII * tanHalfDeg(projection.halfAngleDeg);
  const square = farthest * farthest;
  return {
    axes: planAxes(projection),
    scaleMm: toMm(scaleUm(projection)),
    anchorMm: projection.anchorMm,
    lowest: (1 - square) / (1 + square),
  };
}

/** The parts of a chain of points on which a measure, linear along each chord, is not negative. */
function keepWhere(chain: Vector[], measure: (v: Vector) => number): Vector[][] {
  const kept: Vector[][] = [];
  let run: Vector[] = [];
  chain.forEach((point, i) => {
    const here = measure(point);
    const before = i > 0 ? measure(chain[i - 1]!) : here;
    if (i > 0 && here < 0 !== before < 0) {
      const previous = chain[i - 1]!;
      const t = before / (before - here);
      run.push(unit(previous.map((a, k) => a + t * (point[k]! - a)) as Vector));
    }
    if (here < 0 && run.length > 0) {
      kept.push(run);
      run = [];
    }
    if (here >= 0) run.push(point);
  });
  if (run.length > 0) kept.push(run);
  return kept.filter((points) => points.length > 1);
}

/** A chain of seen directions on the plan, cut at the horizon and before the antipode. */
function draw(pencil: Pencil, chain: Vector[]): Curve {
  const { axes, lowest } = pencil;
  const depth = ([x, y, z]: Vector) => axes[6]! * x + axes[7]! * y + axes[8]! * z - lowest;
  return keepWhere(chain, (v) => v[2])
    .flatMap((part) => keepWhere(part, depth))
    .map((part) => part.flatMap((v) => pointMm(pencil, v) ?? []));
}

/** Wrapped in a list, so that points near the antipode drop out of a flatMap. */
function pointMm({ axes, scaleMm, anchorMm }: Pencil, direction: Vector): PointMm[] | null {
  const flat = stereographic(...apply(axes, direction));
  return flat && [[anchorMm[0] + scaleMm * flat[0], anchorMm[1] + scaleMm * flat[1]]];
}

/** Great circle arc from a to b, in chords of at most `chordDeg`; `b` included, `a` not. */
function arc(a: Vector, b: Vector, chordDeg: number): Vector[] {
  // What joins two points below the horizon lies below it all the way, and is not drawn.
  if (a[2] < 0 && b[2] < 0) return [b];
  const chord = Math.sqrt(Math.max(0, 2 - 2 * dot(a, b)));
  const steps = Math.max(1, Math.ceil((chord * 180) / Math.PI / chordDeg));
  return Array.from({ length: steps }, (_, i) => {
    const t = (i + 1) / steps;
    return unit([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])]);
  });
}

const rows = new WeakMap<StarTable, Map<number, number>>();

function rowsByHip(stars: StarTable): Map<number, number> {
  let map = rows.get(stars);
  if (!map) {
    map = new Map();
    for (let row = stars.count - 1; row >= 0; row--) map.set(stars.hip[row]!, row);
    rows.set(stars, map);
  }
  return map;
}

/** The figures of a catalogue as they lie on the plan at a frame's moment, in chords of at most `chordDeg`. */
export function drawnFigures(
  catalog: Pick<Catalog, "stars" | "figures">,
  frame: SkyFrame,
  projection: Projection,
  chordDeg = CHORD_DEG,
): DrawnFigure[] {
  const pencil = pencilFor(projection);
  const byHip = rowsByHip(catalog.stars);
  return catalog.figures.map(({ abbreviation, name, lines }) => {
    const seen = new Map<number, Vector>();
    for (const hip of new Set(lines.flat())) {
      const row = byHip.get(hip);
      if (row !== undefined) seen.set(hip, starSeenAt(catalog.stars, frame, row));
    }
    if (![...seen.values()].some((v) => v[2] >= 0)) return { abbreviation, name, lines: [], labelMm: null };
    const chains = lines.map((line) => {
      const points = line.flatMap((hip) => (seen.has(hip) ? [seen.get(hip)!] : []));
      return points.flatMap((point, i) => (i === 0 ? [point] : arc(points[i - 1]!, point, chordDeg)));
    });
    return {
      abbreviation,
      name,
      lines: chains.flatMap((chain) => draw(pencil, chain)),
      labelMm: middleOf(pencil, [...seen.values()]),
    };
  });
}

function middleOf(pencil: Pencil, directions: Vector[]): PointMm | null {
  const up = directions.filter((v) => v[2] > 0);
  if (up.length === 0) return null;
  const sum = up.reduce<Vector>((a, v) => [a[0] + v[0], a[1] + v[1], a[2] + v[2]], [0, 0, 0]);
  const middle = unit(sum);
  if (apply(pencil.axes, middle)[2] < pencil.lowest) return null;
  return pointMm(pencil, middle)?.[0] ?? null;
}

function circle(pencil: Pencil, at: (deg: number) => Vector, from: number, to: number): Curve {
  const steps = Math.round((to - from) / CHORD_DEG);
  return draw(
    pencil,
    Array.from({ length: steps + 1 }, (_, i) => at(from + (i * (to - from)) / steps)),
  );
}

const every = (first: number, step: number, count: number) =>
  Array.from({ length: count }, (_, i) => first + i * step);

/** Figures, horizon, circles of altitude and azimuth, cardinal points and bodies on the plan. */
export function drawnSky(
  catalog: Pick<Catalog, "stars" | "figures">,
  frame: SkyFrame,
  projection: Projection,
): DrawnSky {
  const pencil = pencilFor(projection);
  const parallel = (altitudeDeg: number) =>
    circle(pencil, (az) => horizontalDirection(az, altitudeDeg), 0, 360);
  return {
    figures: drawnFigures(catalog, frame, projection),
    horizon: parallel(0),
    altitudes: every(15, 15, 5).map((altitudeDeg) => ({ altitudeDeg, lines: parallel(altitudeDeg) })),
    azimuths: every(0, 30, 12).map((azimuthDeg) => ({
      azimuthDeg,
      lines: circle(pencil, (alt) => horizontalDirection(azimuthDeg, alt), 0, 90),
    })),
    cardinals: ["N", "NE", "E", "SE", "S", "SW", "W", "NW"].map((name, i) => ({
      name,
      atMm: middleOf(pencil, [horizontalDirection(i * 45, 1e-6)]),
    })),
    bodies: frame.bodies.flatMap((body) => {
      const seen = bodyDirection(frame, body);
      const atMm = middleOf(pencil, [seen]);
      return seen[2] > 0 && atMm ? [{ body, atMm }] : [];
    }),
  };
}

/** Radius on the plan, in mm from the anchor, of the circle at an angle from the view centre; below 179 degrees. */
export function radiusMmAt(projection: Projection, angleDeg: number): number {
  return toMm(scaleUm(projection)) * tanHalfDeg(angleDeg);
}
