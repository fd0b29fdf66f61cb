import type { PointMm } from "../geometry/types.ts";

/** An upright rectangle in mm. */
export interface BoxMm {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

export function contains(box: BoxMm, [x, y]: PointMm, padMm = 0): boolean {
  return x >= box.x0 + padMm && x <= box.x1 - padMm && y >= box.y0 + padMm && y <= box.y1 - padMm;
}

/** The part of a segment inside the box, or null (Liang and Barsky's parametric clipping). */
export function clipSegment(from: PointMm, to: PointMm, box: BoxMm): [PointMm, PointMm] | null {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  let enter = 0;
  let leave = 1;
  const sides = [
    [-dx, from[0] - box.x0],
    [dx, box.x1 - from[0]],
    [-dy, from[1] - box.y0],
    [dy, box.y1 - from[1]],
  ] as const;
  for (const [towards, room] of sides) {
    if (towards === 0) {
      if (room < 0) return null;
      continue;
    }
    const at = room / towards;
    if (towards < 0) enter = Math.max(enter, at);
    else leave = Math.min(leave, at);
  }
  if (enter >= leave) return null;
  const point = (t: number): PointMm =>
    t === 0 ? from : t === 1 ? to : [from[0] + t * dx, from[1] + t * dy];
  return [point(enter), point(leave)];
}

/** The edges of closed rings inside the box, as chains as long as the box lets them be. */
export function clipRings(rings: PointMm[][], box: BoxMm): PointMm[][] {
  const chains: PointMm[][] = [];
  for (const ring of rings) {
    let chain: PointMm[] = [];
    ring.forEach((from, i) => {
      const to = ring[(i + 1) % ring.length]!;
      const part = clipSegment(from, to, box);
      if (!part) return;
      // Cut nowhere, a part begins with the very point that ended the one before.
      if (chain.length > 0 && chain.at(-1) === part[0]) chain.push(part[1]);
      else chains.push((chain = [...part]));
    });
  }
  return chains;
}

/** Lines rising at 45 degrees over closed rings (even-odd), every stepMm, measured square to the lines. */
export function hatch(rings: PointMm[][], stepMm: number): [PointMm, PointMm][] {
  const stride = stepMm * Math.SQRT2;
  // Along a hatch line y - x = c is constant.
  const offsets = rings.flat().map(([x, y]) => y - x);
  if (offsets.length === 0) return [];
  const lines: [PointMm, PointMm][] = [];
  const first = Math.ceil(offsets.reduce((a, b) => Math.min(a, b)) / stride);
  const last = Math.floor(offsets.reduce((a, b) => Math.max(a, b)) / stride);
  for (let k = first; k <= last; k++) {
    const c = k * stride;
    const crossings: number[] = [];
    for (const ring of rings)
      ring.forEach((p, i) => {
        const q = ring[(i + 1) % ring.length]!;
        const [cp, cq] = [p[1] - p[0], q[1] - q[0]];
        if (cp < c !== cq < c) crossings.push(p[0] + ((c - cp) / (cq - cp)) * (q[0] - p[0]));
      });
    crossings.sort((a, b) => a - b);
    for (let i = 0; i + 1 < crossings.length; i += 2) {
      const [x0, x1] = [crossings[i]!, crossings[i + 1]!];
      lines.push([
        [x0, x0 + c],
        [x1, x1 + c],
      ]);
    }
  }
  return lines;
}

/** Whether a point lies inside closed rings, by the even-odd rule. */
export function isInside(rings: PointMm[][], [x, y]: PointMm): boolean {
  let inside = false;
  for (const ring of rings)
    ring.forEach(([ax, ay], i) => {
      const [bx, by] = ring[(i + 1) % ring.length]!;
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
    });
  return inside;
}
