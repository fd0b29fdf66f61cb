import type { PointUm, Ring } from "./types.ts";

/** How much larger than the true round a polygon standing for it may be. */
export const ARC_TOLERANCE_UM = 100;

/** Guards `ceil` against the last bits of a product; far below a micrometre. */
const CEIL_GUARD_UM = 1e-6;

const pens = new Map<number, Ring>();

/**
 * A regular polygon round a circle about (0, 0), counter-clockwise, flat sides on the axes: it holds the
 * whole circle and reaches at most ARC_TOLERANCE_UM (and rounding) beyond it. Built by halving angles with
 * square roots alone, so that every engine draws the same one. Radius in micrometres, above 0.
 */
export function circlePen(radiusUm: number): Ring {
  if (!(radiusUm > 0) || !Number.isFinite(radiusUm))
    throw new RangeError(`expected a radius above 0, got ${radiusUm}`);
  let pen = pens.get(radiusUm);
  if (!pen) {
    pen = drawPen(radiusUm);
    if (pens.size > 500) pens.clear();
    pens.set(radiusUm, pen);
  }
  return pen;
}

function drawPen(radius: number): Ring {
  let sides = 4;
  let cosHalf = Math.SQRT1_2; // cosine of half the angle of one side
  while (radius / cosHalf - radius > ARC_TOLERANCE_UM || sides < 8) {
    cosHalf = Math.sqrt((1 + cosHalf) / 2);
    sides *= 2;
  }
  const sinHalf = Math.sqrt(1 - cosHalf * cosHalf);
  const stepCos = 2 * cosHalf * cosHalf - 1;
  const stepSin = 2 * sinHalf * cosHalf;

  // Corners of the first quadrant are rounded away from the middle; mirrors give the rest.
  const quarter: PointUm[] = [];
  let x = radius;
  let y = (radius * sinHalf) / cosHalf;
  for (let i = 0; i < sides / 4; i++) {
    quarter.push({ x: Math.ceil(x - CEIL_GUARD_UM), y: Math.ceil(y - CEIL_GUARD_UM) });
    [x, y] = [x * stepCos - y * stepSin, x * stepSin + y * stepCos];
  }
  const corners = [0, 1, 2, 3].flatMap((turns) => quarter.map((p) => quarterTurn(p, turns)));
  return corners.filter((p, i) => p.x !== corners.at(i - 1)!.x || p.y !== corners.at(i - 1)!.y);
}

function quarterTurn({ x, y }: PointUm, turns: number): PointUm {
  if (turns === 0) return { x, y };
  if (turns === 1) return { x: -y, y: x };
  if (turns === 2) return { x: -x, y: -y };
  return { x: y, y: -x };
}

/** An upright rectangle about (0, 0) as a pen: half sizes in micrometres. */
export function boxPen(halfX: number, halfY: number): Ring {
  return [
    { x: -halfX, y: -halfY },
    { x: halfX, y: -halfY },
    { x: halfX, y: halfY },
    { x: -halfX, y: halfY },
  ];
}

/** What a convex pen covers on its way from a to b: one convex ring, counter-clockwise. */
export function stroke(pen: Ring, a: PointUm, b: PointUm): Ring {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const side = (p: PointUm) => dx * p.y - dy * p.x;
  let right = 0;
  let left = 0;
  for (let i = 1; i < pen.length; i++) {
    if (side(pen[i]!) < side(pen[right]!)) right = i;
    if (side(pen[i]!) > side(pen[left]!)) left = i;
  }
  const ring: Ring = [];
  const follow = (from: number, to: number, at: PointUm) => {
    for (let i = from; ; i = (i + 1) % pen.length) {
      ring.push({ x: at.x + pen[i]!.x, y: at.y + pen[i]!.y });
      if (i === to) return;
    }
  };
  follow(right, left, b);
  follow(left, right, a);
  return ring;
}
