import type { Point } from "./types.ts";

/** Tees as found in the lines of a drawing; lengths in mm. */
export interface FittedGrid {
  /** How far the grid is turned counter-clockwise in the drawing, from -45 to 45. */
  turnDeg: number;
  /** Centre to centre along the turned X and Y; null where the lines of a direction don't tell. */
  moduleMm: [number | null, number | null];
  /** A tee crossing, in the turned axes. */
  originMm: Point;
  /** Distance of the two edges, where each tee is drawn as a pair of lines. */
  teeFaceMm: number | null;
  /** Distances of the lines used from where the fitted grid has them. */
  misfitMm: { rms: number; largest: number };
  lines: number;
  /** Lines that lie on no tee of the fitted grid: wall angles, edges of fittings. */
  astray: number;
}

/** Lines nearer than this are one line drawn in pieces. */
const SAME_LINE_MM = 1;
/** A tee drawn with both its edges: 15 to 24 mm are usual, and nothing in a grid is wider than this. */
const WIDEST_TEE_MM = 60;
const NARROWEST_TEE_MM = 8;
/** No ceiling tile is smaller; finer lines are a pattern. */
const SMALLEST_MODULE_MM = 200;
/** A line this far from its tee is not of the grid. */
const ASTRAY_MM = 15;
const PARALLEL_DEG = 1.5;

interface Line {
  at: number;
  length: number;
}

/** Finds module, origin and turn of a grid from its lines (in mm) by fitting; null where no direction repeats. */
export function fitGrid(sides: readonly [Point, Point][]): FittedGrid | null {
  const turnDeg = turnOf(sides);
  if (turnDeg === null) return null;
  const turned = sides.map(([p, q]): [Point, Point] => [turnedBy(p, -turnDeg), turnedBy(q, -turnDeg)]);
  const fits = ([0, 1] as const).map((axis) => fitAxis(linesAcross(turned, axis)));
  const [alongX, alongY] = fits as [AxisFit | null, AxisFit | null];
  if (!alongX && !alongY) return null;
  const residuals = [...(alongX?.residuals ?? []), ...(alongY?.residuals ?? [])];
  const faces = fits.flatMap((fit) => fit?.teeFaceMm ?? []);
  return {
    turnDeg,
    moduleMm: [alongX?.module ?? null, alongY?.module ?? null],
    originMm: [alongX?.origin ?? 0, alongY?.origin ?? 0],
    teeFaceMm: faces.length > 0 ? Math.max(...faces) : null,
    misfitMm: {
      rms: Math.sqrt(residuals.reduce((sum, r) => sum + r * r, 0) / Math.max(1, residuals.length)),
      largest: Math.max(0, ...residuals.map(Math.abs)),
    },
    lines: residuals.length,
    astray: (alongX?.astray ?? 0) + (alongY?.astray ?? 0),
  };
}

export function turnedBy([x, y]: Point, deg: number): Point {
  if (deg === 0) return [x, y];
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  return [x * c - y * s, x * s + y * c];
}

/** The direction, modulo a right angle, that most of the length of the lines follows. */
export function turnOf(sides: readonly [Point, Point][]): number | null {
  const bins = new Float64Array(180);
  const angles = sides.map(([[ax, ay], [bx, by]]) => ({
    deg: ((((Math.atan2(by - ay, bx - ax) * 180) / Math.PI) % 90) + 90) % 90,
    length: Math.hypot(bx - ax, by - ay),
  }));
  for (const { deg, length } of angles) bins[Math.floor(deg * 2) % 180]! += length;
  const sum = (k: number): number => bins[(k + 179) % 180]! + bins[k]! + bins[(k + 1) % 180]!;
  let best = 0;
  for (let k = 1; k < 180; k++) if (sum(k) > sum(best)) best = k;
  if (bins[best] === 0 && sum(best) === 0) return null;
  const middle = best / 2 + 0.25;
  let [turn, weight] = [0, 0];
  for (const { deg, length } of angles) {
    const off = ((deg - middle + 135) % 90) - 45;
    if (Math.abs(off) > PARALLEL_DEG) continue;
    turn += off * length;
    weight += length;
  }
  const exact = middle + turn / weight;
  const turnDeg = exact > 45 ? exact - 90 : exact;
  return Math.abs(turnDeg) < 1e-4 ? 0 : turnDeg;
}

/** Positions along an axis of the lines that run across it. */
function linesAcross(sides: readonly [Point, Point][], axis: 0 | 1): Line[] {
  const most = Math.tan((PARALLEL_DEG * Math.PI) / 180);
  const lines = sides.flatMap(([p, q]): Line[] => {
    const length = Math.abs(q[1 - axis]! - p[1 - axis]!);
    return length > 0 && Math.abs(q[axis] - p[axis]) <= most * length
      ? [{ at: (p[axis] + q[axis]) / 2, length }]
      : [];
  });
  return merged(lines, SAME_LINE_MM);
}

function merged(lines: Line[], within: number): Line[] {
  const out: Line[] = [];
  for (const line of [...lines].sort((a, b) => a.at - b.at)) {
    const last = out.at(-1);
    if (last && line.at - last.at <= within) {
      const length = last.length + line.length;
      last.at = (last.at * last.length + line.at * line.length) / length;
      last.length = length;
    } else out.push({ ...line });
  }
  return out;
}

interface AxisFit {
  module: number;
  origin: number;
  teeFaceMm: number | null;
  residuals: number[];
  astray: number;
}

function fitAxis(drawn: Line[]): AxisFit | null {
  // stray short strokes (symbols, marks) are no tees
  const longest = Math.max(0, ...drawn.map(({ length }) => length));
  const long = drawn.filter(({ length }) => length > longest / 8);
  const { lines, teeFaceMm } = asTees(long);
  if (lines.length < 2) return null;
  const gaps = lines
    .slice(1)
    .map((line, i) => line.at - lines[i]!.at)
    .filter((gap) => gap >= SMALLEST_MODULE_MM);
  if (gaps.length === 0) return null;
  // the gap that most others are alike to is the module; borders are odd
  const alike = (gap: number): number[] => gaps.filter((g) => Math.abs(g - gap) <= Math.max(2, gap / 100));
  const common = gaps.reduce((best, gap) => (alike(gap).length > alike(best).length ? gap : best));
  let module = alike(common).reduce((sum, g) => sum + g, 0) / alike(common).length;
  let origin = 0;
  let used: { k: number; at: number; length: number }[] = [];
  // the tee that most others agree with is the start; then least squares over all that agree, twice
  for (const { at } of lines) {
    const agreeing = agreeingWith(at, module, lines);
    if (weightOf(agreeing) > weightOf(used)) [used, origin] = [agreeing, at];
  }
  for (let round = 0; round < 2; round++) {
    const n = used.length;
    const [k, p] = [used.reduce((s, u) => s + u.k, 0) / n, used.reduce((s, u) => s + u.at, 0) / n];
    const spread = used.reduce((s, u) => s + (u.k - k) ** 2, 0);
    if (spread > 0) module = used.reduce((s, u) => s + (u.k - k) * (u.at - p), 0) / spread;
    origin = p - k * module;
    used = agreeingWith(origin, module, lines);
  }
  return {
    module,
    origin,
    teeFaceMm,
    residuals: used.map((u) => u.at - origin - u.k * module),
    astray: lines.length - used.length,
  };
}

const weightOf = (used: readonly { length: number }[]): number => used.reduce((sum, u) => sum + u.length, 0);

function agreeingWith(
  origin: number,
  module: number,
  lines: readonly Line[],
): { k: number; at: number; length: number }[] {
  return lines
    .map(({ at, length }) => ({ k: Math.round((at - origin) / module), at, length }))
    .filter(({ k, at }) => Math.abs(at - origin - k * module) <= ASTRAY_MM);
}

/** Pairs of lines that are the two edges of a tee become its middle, where most lines come in such pairs. */
function asTees(lines: Line[]): { lines: Line[]; teeFaceMm: number | null } {
  const pairs = new Map<number, number>();
  lines.forEach((line, i) => {
    const gap = (lines[i + 1]?.at ?? Infinity) - line.at;
    if (gap >= NARROWEST_TEE_MM && gap <= WIDEST_TEE_MM && !pairs.has(i - 1)) pairs.set(i, gap);
  });
  if (pairs.size * 2 < lines.length / 2) return { lines, teeFaceMm: null };
  const sorted = [...pairs.values()].sort((a, b) => a - b);
  const face = sorted[Math.floor(sorted.length / 2)]!;
  const tees: Line[] = [];
  for (let i = 0; i < lines.length; i++) {
    const gap = pairs.get(i);
    if (gap !== undefined && Math.abs(gap - face) <= 2) {
      tees.push({ at: lines[i]!.at + gap / 2, length: lines[i]!.length + lines[i + 1]!.length });
      i++;
    } else tees.push(lines[i]!);
  }
  return { lines: tees, teeFaceMm: face };
}
