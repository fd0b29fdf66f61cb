import { Matrix, solve, SingularValueDecomposition } from "ml-matrix";

/**
 * How the plan lies in a picture: a homography (the ceiling is a plane, the camera a pinhole) and the lens's radial
 * distortion, x_d = x (1 + k1 r^2 + k2 r^4), about the middle of the picture (Brown 1966, radial terms alone).
 * Picture lengths inside are in half diagonals, plan lengths in `unitMm` about `originMm`, so that all numbers are
 * near 1.
 */
export interface Lens {
  widthPx: number;
  heightPx: number;
  originMm: readonly [number, number];
  unitMm: number;
  /** Row by row, without the last element, which is 1. */
  h: readonly number[];
  k1: number;
  k2: number;
}

export interface Pair {
  xMm: number;
  yMm: number;
  xPx: number;
  yPx: number;
}

/** What a fit may change: parallel lines stay parallel; true perspective; and the lens's bend. */
export type Freedom = "affine" | "perspective" | "bent" | "bent twice";
const FREE: Record<Freedom, readonly number[]> = {
  affine: [0, 1, 2, 3, 4, 5],
  perspective: [0, 1, 2, 3, 4, 5, 6, 7],
  bent: [0, 1, 2, 3, 4, 5, 6, 7, 8],
  "bent twice": [0, 1, 2, 3, 4, 5, 6, 7, 8, 9],
};

const halfDiagonal = ({ widthPx, heightPx }: { widthPx: number; heightPx: number }): number =>
  Math.sqrt(widthPx * widthPx + heightPx * heightPx) / 2;

/** Where a place of the plan is in the picture; null behind the camera or where the bend folds back. */
export function toPicture(lens: Lens, xMm: number, yMm: number): { xPx: number; yPx: number } | null {
  const out = project([...lens.h, lens.k1, lens.k2], (xMm - lens.originMm[0]) / lens.unitMm, (yMm - lens.originMm[1]) / lens.unitMm); // prettier-ignore
  if (!out) return null;
  const half = halfDiagonal(lens);
  return { xPx: lens.widthPx / 2 + half * out[0], yPx: lens.heightPx / 2 + half * out[1] };
}

/** Where on the plan a place of the picture is; null beyond the horizon. */
export function toPlan(lens: Lens, xPx: number, yPx: number): { xMm: number; yMm: number } | null {
  const half = halfDiagonal(lens);
  const bent = [(xPx - lens.widthPx / 2) / half, (yPx - lens.heightPx / 2) / half] as const;
  const rd = Math.sqrt(bent[0] ** 2 + bent[1] ** 2);
  const r = unbend(rd, lens.k1, lens.k2);
  if (r === null) return null;
  const scale = rd === 0 ? 1 : r / rd;
  const [x, y] = [bent[0] * scale, bent[1] * scale];
  const [a, b, c, d, e, f, g, h] = lens.h as number[];
  // x (gX + hY + 1) = aX + bY + c, and so for y
  const [p, q, s, t] = [a! - g! * x, b! - h! * x, d! - g! * y, e! - h! * y];
  const det = p * t - q * s;
  if (Math.abs(det) < 1e-12) return null;
  const [X, Y] = [((x - c!) * t - (y - f!) * q) / det, (p * (y - f!) - s * (x - c!)) / det];
  if (g! * X + h! * Y + 1 <= LEAST_DEPTH) return null;
  return { xMm: lens.originMm[0] + lens.unitMm * X, yMm: lens.originMm[1] + lens.unitMm * Y };
}

/** Nearer to the camera's own plane than this, relative to the origin's depth, nothing is seen. */
const LEAST_DEPTH = 0.02;

function project(p: readonly number[], X: number, Y: number): [number, number] | null {
  const depth = p[6]! * X + p[7]! * Y + 1;
  if (depth <= LEAST_DEPTH) return null;
  const x = (p[0]! * X + p[1]! * Y + p[2]!) / depth;
  const y = (p[3]! * X + p[4]! * Y + p[5]!) / depth;
  const r2 = x * x + y * y;
  // past the turning point the bend would bring far places back into the picture
  if (1 + 3 * p[8]! * r2 + 5 * p[9]! * r2 * r2 <= 0.05) return null;
  const bend = 1 + p[8]! * r2 + p[9]! * r2 * r2;
  return [x * bend, y * bend];
}

/** r with r (1 + k1 r^2 + k2 r^4) = rd, by Newton's steps; null where there is none. */
function unbend(rd: number, k1: number, k2: number): number | null {
  let r = rd;
  for (let i = 0; i < 20; i++) {
    const r2 = r * r;
    const slope = 1 + 3 * k1 * r2 + 5 * k2 * r2 * r2;
    if (slope <= 0.05) return null;
    const step = (r * (1 + k1 * r2 + k2 * r2 * r2) - rd) / slope;
    r -= step;
    if (Math.abs(step) < 1e-12) break;
  }
  return Number.isFinite(r) ? r : null;
}

/** Picture pixels per millimetre of the plan round a place: lengths of the two columns' smaller and larger stretch. */
export function scaleAt(lens: Lens, xMm: number, yMm: number): { least: number; most: number } | null {
  const step = 1;
  const at = toPicture(lens, xMm, yMm);
  const x = toPicture(lens, xMm + step, yMm);
  const y = toPicture(lens, xMm, yMm + step);
  if (!at || !x || !y) return null;
  const [a, b, c, d] = [x.xPx - at.xPx, x.yPx - at.yPx, y.xPx - at.xPx, y.yPx - at.yPx];
  const sum = (a * a + b * b + c * c + d * d) / 2;
  const det = a * d - b * c;
  const root = Math.sqrt(Math.max(0, sum * sum - det * det));
  return { least: Math.sqrt(Math.max(0, sum - root)), most: Math.sqrt(sum + root) };
}

/** The lens with which plan places lie on picture places through an affine map: a fit's first guess. */
export function affineLens(
  size: { widthPx: number; heightPx: number },
  frame: Pick<Lens, "originMm" | "unitMm">,
  pairs: readonly Pair[],
): Lens | null {
  const half = halfDiagonal(size);
  const rows = pairs.map(({ xMm, yMm }) => [
    (xMm - frame.originMm[0]) / frame.unitMm,
    (yMm - frame.originMm[1]) / frame.unitMm,
    1,
  ]);
  const A = new Matrix(rows);
  const normal = A.transpose().mmul(A);
  const right = A.transpose().mmul(
    new Matrix(
      pairs.map(({ xPx, yPx }) => [(xPx - size.widthPx / 2) / half, (yPx - size.heightPx / 2) / half]),
    ),
  );
  const solved = safeSolve(normal, right);
  if (!solved) return null;
  const at = (row: number, column: number) => solved.get(row, column);
  const h = [at(0, 0), at(1, 0), at(2, 0), at(0, 1), at(1, 1), at(2, 1), 0, 0];
  return { widthPx: size.widthPx, heightPx: size.heightPx, ...frame, h, k1: 0, k2: 0 };
}

/**
 * The homography through four or more pairs by the direct linear transform (Hartley & Zisserman, Multiple View
 * Geometry, 2nd ed., algorithm 4.1): for corners tapped by hand. Null where three of them lie on a line.
 */
export function lensThrough(
  size: { widthPx: number; heightPx: number },
  frame: Pick<Lens, "originMm" | "unitMm">,
  pairs: readonly Pair[],
): Lens | null {
  const half = halfDiagonal(size);
  const rows = pairs.flatMap(({ xMm, yMm, xPx, yPx }) => {
    const X = (xMm - frame.originMm[0]) / frame.unitMm;
    const Y = (yMm - frame.originMm[1]) / frame.unitMm;
    const x = (xPx - size.widthPx / 2) / half;
    const y = (yPx - size.heightPx / 2) / half;
    return [
      [X, Y, 1, 0, 0, 0, -x * X, -x * Y, -x],
      [0, 0, 0, X, Y, 1, -y * X, -y * Y, -y],
    ];
  });
  if (rows.length < 8) return null;
  while (rows.length < 9) rows.push(Array<number>(9).fill(0));
  const svd = new SingularValueDecomposition(new Matrix(rows), { autoTranspose: true });
  const { diagonal } = svd;
  if (diagonal[7]! < 1e-9 * diagonal[0]!) return null;
  const v = svd.rightSingularVectors.getColumn(8);
  if (Math.abs(v[8]!) < 1e-12) return null;
  const h = v.slice(0, 8).map((value) => value / v[8]!);
  return { widthPx: size.widthPx, heightPx: size.heightPx, ...frame, h, k1: 0, k2: 0 };
}

function safeSolve(a: Matrix, b: Matrix): Matrix | null {
  try {
    const x = solve(a, b);
    return x.to1DArray().every(Number.isFinite) ? x : null;
  } catch {
    return null;
  }
}

const FIT_STEPS = 25;
/** Huber's constant: 95 % efficiency for normal errors (Huber 1981). */
const HUBER = 1.345;

/**
 * Least squares of picture distances over all pairs by Levenberg's and Marquardt's steps; pairs farther off than the
 * rest count less (Huber's weights). Gives the lens and the robust spread of its residuals in pixels.
 */
export function fitLens(
  start: Lens,
  pairs: readonly Pair[],
  freedom: Freedom,
): { lens: Lens; sigmaPx: number } {
  const free = FREE[freedom];
  const half = halfDiagonal(start);
  const X = Float64Array.from(pairs, (p) => (p.xMm - start.originMm[0]) / start.unitMm);
  const Y = Float64Array.from(pairs, (p) => (p.yMm - start.originMm[1]) / start.unitMm);
  const U = Float64Array.from(pairs, (p) => (p.xPx - start.widthPx / 2) / half);
  const V = Float64Array.from(pairs, (p) => (p.yPx - start.heightPx / 2) / half);
  let p = [...start.h, start.k1, start.k2];
  let errors = errorsOf(p, X, Y, U, V);
  let sigma = spread(errors);
  let damping = 1e-4;
  for (let step = 0; step < FIT_STEPS; step++) {
    const { normal, gradient } = equations(p, free, X, Y, U, V, sigma);
    for (let i = 0; i < free.length; i++) normal.set(i, i, normal.get(i, i) * (1 + damping) + 1e-12);
    const change = safeSolve(normal, gradient);
    if (!change) break;
    const next = [...p];
    free.forEach((index, i) => (next[index]! += change.get(i, 0)));
    const nextErrors = errorsOf(next, X, Y, U, V);
    const before = cost(errors, sigma);
    const after = cost(nextErrors, sigma);
    if (after < before) {
      p = next;
      errors = nextErrors;
      sigma = spread(errors);
      damping = Math.max(1e-9, damping / 10);
      if (before - after < 1e-9 * before) break;
    } else {
      damping *= 10;
      if (damping > 1e6) break;
    }
  }
  const lens = { ...start, h: p.slice(0, 8), k1: p[8]!, k2: p[9]! };
  return { lens, sigmaPx: sigma * half };
}

function errorsOf(p: readonly number[], X: Float64Array, Y: Float64Array, U: Float64Array, V: Float64Array) {
  return X.map((x, i) => {
    const at = project(p, x, Y[i]!);
    return at ? Math.sqrt((at[0] - U[i]!) ** 2 + (at[1] - V[i]!) ** 2) : 10;
  });
}

/** Standard deviation along one axis from the median distance: Rayleigh's median is sqrt(2 ln 2) of it. */
function spread(errors: Float64Array): number {
  const sorted = errors.slice().sort();
  return Math.max(1e-7, (sorted[sorted.length >> 1] ?? 0) / 1.17741);
}

function cost(errors: Float64Array, sigma: number): number {
  const bend = HUBER * sigma * Math.SQRT2;
  return errors.reduce((sum, e) => sum + (e <= bend ? e * e : 2 * bend * e - bend * bend), 0);
}

// eslint-disable-next-line max-params -- called in the inner loop
function equations(
  p: readonly number[],
  free: readonly number[],
  X: Float64Array,
  Y: Float64Array,
  U: Float64Array,
  V: Float64Array,
  sigma: number,
): { normal: Matrix; gradient: Matrix } {
  const n = free.length;
  const normal = Matrix.zeros(n, n);
  const gradient = Matrix.zeros(n, 1);
  const N = new Float64Array(n * n);
  const G = new Float64Array(n);
  const ju = new Float64Array(10);
  const jv = new Float64Array(10);
  const bendAt = HUBER * sigma * Math.SQRT2;
  for (let i = 0; i < X.length; i++) {
    const [a, b] = [X[i]!, Y[i]!];
    const depth = p[6]! * a + p[7]! * b + 1;
    if (depth <= LEAST_DEPTH) continue;
    const x = (p[0]! * a + p[1]! * b + p[2]!) / depth;
    const y = (p[3]! * a + p[4]! * b + p[5]!) / depth;
    const r2 = x * x + y * y;
    const bend = 1 + p[8]! * r2 + p[9]! * r2 * r2;
    const turn = 2 * (p[8]! + 2 * p[9]! * r2);
    const [ux, uy, vy] = [bend + x * x * turn, x * y * turn, bend + y * y * turn];
    const line = [a / depth, b / depth, 1 / depth];
    for (let k = 0; k < 3; k++) {
      ju[k] = ux * line[k]!;
      jv[k] = uy * line[k]!;
      ju[k + 3] = uy * line[k]!;
      jv[k + 3] = vy * line[k]!;
    }
    for (let k = 0; k < 2; k++) {
      ju[k + 6] = -(ux * x + uy * y) * line[k]!;
      jv[k + 6] = -(uy * x + vy * y) * line[k]!;
    }
    ju[8] = x * r2;
    jv[8] = y * r2;
    ju[9] = x * r2 * r2;
    jv[9] = y * r2 * r2;
    const [eu, ev] = [U[i]! - x * bend, V[i]! - y * bend];
    const error = Math.sqrt(eu * eu + ev * ev);
    const weight = error <= bendAt ? 1 : bendAt / error;
    for (let r = 0; r < n; r++) {
      const [pu, pv] = [weight * ju[free[r]!]!, weight * jv[free[r]!]!];
      G[r]! += pu * eu + pv * ev;
      for (let c = r; c < n; c++) N[r * n + c]! += pu * ju[free[c]!]! + pv * jv[free[c]!]!;
    }
  }
  for (let r = 0; r < n; r++) {
    gradient.set(r, 0, G[r]!);
    for (let c = 0; c < n; c++) normal.set(r, c, N[Math.min(r, c) * n + Math.max(r, c)]!);
  }
  return { normal, gradient };
}
