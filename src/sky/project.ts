import { UM_PER_MM } from "../geometry/um.ts";
import type { BoxUm } from "../geometry/types.ts";
import { extinctionMilli } from "./extinction.ts";
import { seenAt } from "./frame.ts";
import type { Vector } from "./linear.ts";
import { apply, horizontalDirection } from "./linear.ts";
import { NEAR_ANTIPODE, planAxes, scaleUm, stereographic } from "./projection.ts";
import { refract, refractionTable } from "./refraction.ts";
import { altitudeDegOf, azimuthDegOf } from "./trig.ts";
import type { Body, Catalog, Projection, ProjectedSky, SkyFrame, StarTable } from "./types.ts";

/** Room for a projected sky; hand the same one in again to project without allocating. */
export interface SkyBuffers {
  hip: Uint32Array;
  row: Int32Array;
  xUm: Int32Array;
  yUm: Int32Array;
  magnitudeMilli: Int32Array;
}
const COLUMNS = ["hip", "row", "xUm", "yUm", "magnitudeMilli"] as const;
const MOST_BODIES = 8;

export function skyBuffers(starCount: number): SkyBuffers {
  const size = starCount + MOST_BODIES;
  return {
    hip: new Uint32Array(size),
    row: new Int32Array(size),
    xUm: new Int32Array(size),
    yUm: new Int32Array(size),
    magnitudeMilli: new Int32Array(size),
  };
}

/**
 * Every object above the apparent horizon that lands in `box` (edges included), brightest first, ties by
 * Hipparcos number, bodies before stars. Positions are whole micrometres. The result is a view into
 * `buffers`, overwritten by the next call with the same ones.
 */
export function projectSky(
  catalog: Pick<Catalog, "stars">,
  frame: SkyFrame,
  projection: Projection,
  box: BoxUm,
  buffers: SkyBuffers = skyBuffers(catalog.stars.count),
): ProjectedSky {
  let count = projectStars(catalog.stars, frame, projection, box, buffers);
  if (frame.extinction) sortByMagnitude(buffers, count);
  frame.bodies.forEach((body, index) => {
    count += insertBody(body, index, frame, projection, box, buffers, count);
  });
  return {
    count,
    hip: buffers.hip.subarray(0, count),
    row: buffers.row.subarray(0, count),
    xUm: buffers.xUm.subarray(0, count),
    yUm: buffers.yUm.subarray(0, count),
    magnitudeMilli: buffers.magnitudeMilli.subarray(0, count),
  };
}

/** The one pass: proper motion, aberration, rotation, refraction, horizon, projection, box. Returns the count. */
function projectStars(
  stars: StarTable,
  frame: SkyFrame,
  projection: Projection,
  box: BoxUm,
  out: SkyBuffers,
): number {
  const { x: starX, y: starY, z: starZ, hip, magnitudeCenti, movingRows, motion } = stars;
  const { years, refraction, extinction } = frame;
  const [m0, m1, m2, m3, m4, m5, m6, m7, m8] = frame.matrix as unknown as number[] as NineNumbers;
  const [v0, v1, v2] = apply(frame.matrix, frame.velocity);
  const [a0, a1, a2, a3, a4, a5, a6, a7, a8] = planAxes(projection) as unknown as number[] as NineNumbers;
  const scale = scaleUm(projection);
  const anchorX = projection.anchorMm[0] * UM_PER_MM;
  const anchorY = projection.anchorMm[1] * UM_PER_MM;
  const { minX, minY, maxX, maxY } = box;
  const { overCosine, lowestSine, cellsPerSine } = refractionTable();
  const lowest = refraction ? lowestSine : 0;

  let count = 0;
  let moving = 0;
  let nextMoving = movingRows.length > 0 ? movingRows[0]! : -1;
  for (let row = 0; row < stars.count; row++) {
    let px = starX[row]!;
    let py = starY[row]!;
    let pz = starZ[row]!;
    if (row === nextMoving) {
      px += motion[3 * moving]! * years;
      py += motion[3 * moving + 1]! * years;
      pz += motion[3 * moving + 2]! * years;
      moving++;
      nextMoving = moving < movingRows.length ? movingRows[moving]! : -1;
    }
    let up = m6 * px + m7 * py + m8 * pz + v2;
    if (up <= lowest - 1e-3) continue;
    let north = m0 * px + m1 * py + m2 * pz + v0;
    let east = m3 * px + m4 * py + m5 * pz + v1;
    const shrink = 1 / Math.sqrt(north * north + east * east + up * up);
    north *= shrink;
    east *= shrink;
    up *= shrink;
    if (up <= lowest) continue;
    if (refraction) {
      // As in `refract`, written out: this loop runs for every star in every frame of the time slider.
      const at = (up - lowestSine) * cellsPerSine;
      const cell = Math.floor(at);
      const low = overCosine[cell]!;
      const slope = low + (at - cell) * (overCosine[cell + 1]! - low);
      const cosine = Math.sqrt(Math.max(0, 1 - up * up));
      const angle = slope * cosine;
      const cos = 1 - (angle * angle) / 2;
      const sinOverAngle = 1 - (angle * angle) / 6;
      const across = cos - up * slope * sinOverAngle;
      north *= across;
      east *= across;
      up = up * cos + cosine * angle * sinOverAngle;
      if (up <= 0) continue;
    }
    const depth = 1 + a6 * north + a7 * east + a8 * up;
    if (depth < NEAR_ANTIPODE) continue;
    const k = scale / depth;
    const xUm = Math.round(anchorX + k * (a0 * north + a1 * east + a2 * up));
    if (xUm < minX || xUm > maxX) continue;
    const yUm = Math.round(anchorY + k * (a3 * north + a4 * east + a5 * up));
    if (yUm < minY || yUm > maxY) continue;
    out.hip[count] = hip[row]!;
    out.row[count] = row;
    out.xUm[count] = xUm;
    out.yUm[count] = yUm;
    out.magnitudeMilli[count] = magnitudeCenti[row]! * 10 + (extinction ? extinctionMilli(up) : 0);
    count++;
  }
  return count;
}

type NineNumbers = [number, number, number, number, number, number, number, number, number];

/** Orders by dimmed magnitude, ties by Hipparcos number: a counting sort, then the few ties by insertion. */
function sortByMagnitude(sky: SkyBuffers, count: number): void {
  if (count === 0) return;
  let least = Infinity;
  let most = -Infinity;
  for (let i = 0; i < count; i++) {
    least = Math.min(least, sky.magnitudeMilli[i]!);
    most = Math.max(most, sky.magnitudeMilli[i]!);
  }
  const next = new Uint32Array(most - least + 2);
  for (let i = 0; i < count; i++) next[sky.magnitudeMilli[i]! - least + 1]!++;
  for (let bin = 1; bin < next.length; bin++) next[bin]! += next[bin - 1]!;
  const order = new Uint32Array(count);
  for (let i = 0; i < count; i++) order[next[sky.magnitudeMilli[i]! - least]!++] = i;
  for (let i = 1; i < count; i++) {
    const slot = order[i]!;
    let at = i;
    while (at > 0 && goesAfter(sky, order[at - 1]!, slot)) {
      order[at] = order[at - 1]!;
      at--;
    }
    order[at] = slot;
  }
  for (const column of COLUMNS) {
    const before = sky[column].slice(0, count);
    for (let i = 0; i < count; i++) sky[column][i] = before[order[i]!]!;
  }
}

function goesAfter(sky: SkyBuffers, a: number, b: number): boolean {
  return sky.magnitudeMilli[a] === sky.magnitudeMilli[b] && sky.hip[a]! > sky.hip[b]!;
}

/** Puts a body among the `count` objects there are, if it is up and in the box; returns 1 or 0. */
// eslint-disable-next-line max-params -- called in the inner loop
function insertBody(
  body: Body,
  index: number,
  frame: SkyFrame,
  projection: Projection,
  box: BoxUm,
  out: SkyBuffers,
  count: number,
): number {
  const seen = bodyDirection(frame, body);
  if (seen[2] <= 0) return 0;
  const flat = stereographic(...apply(planAxes(projection), seen));
  if (!flat) return 0;
  const xUm = Math.round(projection.anchorMm[0] * UM_PER_MM + flat[0] * scaleUm(projection));
  const yUm = Math.round(projection.anchorMm[1] * UM_PER_MM + flat[1] * scaleUm(projection));
  if (xUm < box.minX || xUm > box.maxX || yUm < box.minY || yUm > box.maxY) return 0;
  const milli = Math.round(body.magnitude * 1000) + (frame.extinction ? extinctionMilli(seen[2]) : 0);
  let at = 0;
  while (at < count && (out.magnitudeMilli[at]! < milli || isEarlierBody(out, at, milli))) at++;
  for (const column of COLUMNS) out[column].copyWithin(at + 1, at, count);
  out.hip[at] = 0;
  out.row[at] = -1 - index;
  out.xUm[at] = xUm;
  out.yUm[at] = yUm;
  out.magnitudeMilli[at] = milli;
  return 1;
}

function isEarlierBody(sky: SkyBuffers, at: number, milli: number): boolean {
  return sky.magnitudeMilli[at] === milli && sky.row[at]! < 0;
}

/** Horizontal unit vector (x north, y east, z zenith) in which a body is seen, refracted if the frame says so. */
export function bodyDirection(frame: SkyFrame, body: Body): Vector {
  const direction = horizontalDirection(body.azimuthDeg, body.altitudeDeg);
  return frame.refraction ? refract(direction) : direction;
}

/** ICRS direction of a row at the frame's moment, proper motion applied; as good as a unit vector. */
export function starDirection(stars: StarTable, frame: SkyFrame, row: number): Vector {
  const place: Vector = [stars.x[row]!, stars.y[row]!, stars.z[row]!];
  const moving = stars.movingRows.indexOf(row);
  if (moving < 0) return place;
  return place.map((p, i) => p + stars.motion[3 * moving + i]! * frame.years) as Vector;
}

/** Where a row of the star table is seen, up or not: horizontal unit vector (x north, y east, z zenith). */
export function starSeenAt(stars: StarTable, frame: SkyFrame, row: number): Vector {
  return seenAt(frame, starDirection(stars, frame, row));
}

/** Apparent altitude and azimuth of a row of the star table, in degrees, refracted if the frame says so. */
export function horizontalOf(
  stars: StarTable,
  frame: SkyFrame,
  row: number,
): { altitudeDeg: number; azimuthDeg: number } {
  const [x, y, z] = starSeenAt(stars, frame, row);
  return { altitudeDeg: altitudeDegOf(x, y, z), azimuthDeg: azimuthDegOf(x, y) };
}
