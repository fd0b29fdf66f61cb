import { toScreen, type Camera } from "./camera.ts";
import { exposureFor } from "./eye.ts";
import { lightWithin, pointSpread, reachOf, spreadAt, type PointSpread } from "./glare.ts";
import { arcminOf, coneLight, distanceLight, type EndCut } from "./photometry.ts";
import type { Light, Spots } from "./types.ts";

/** Dimmer at which the exposure holds: the job's usual half light. */
export const EXPOSED_AT = 0.5;

/** Width at half height of the hard core a picture holds, pixels, and what suits a picture of a height. */
const SMALLEST_SPOT_PX = 1.3;
const SPOT_PER_HEIGHT = 1 / 550;

/** Width at half height of a point's core, pixels. */
export function spotPx(heightPx: number, spotScale = 1): number {
  return Math.max(SMALLEST_SPOT_PX, heightPx * SPOT_PER_HEIGHT * spotScale);
}

/**
 * A picture too small for its spots would look crowded with light; this dims it, by the power 3/4 of the spots'
 * excess (the second power would be a picture made small, in which the faint ones are lost).
 */
export function smallPictureGain(heightPx: number, spotScale = 1): number {
  const excess = (heightPx * SPOT_PER_HEIGHT) / spotPx(heightPx, spotScale);
  return Math.min(1, Math.sqrt(excess) * Math.sqrt(Math.sqrt(excess)));
}

/** A spot ends where it falls below half the screen's first step over black. */
const CUT_LIGHT = 0.5 / 255 / 12.92;

/** Illuminance at the eye relative to the reference strand on its axis at the reference distance. */
export function lightAtEye(light: Light, camera: Camera, numericalAperture: number, end: EndCut): number {
  if (light.axis === null) return light.power;
  const dx = camera.eye[0] - light.xMm;
  const dy = camera.eye[1] - light.yMm;
  const dz = camera.eye[2] - camera.ceilingMm;
  const distance = Math.sqrt(dx * dx + dy * dy + dz * dz);
  const cosine = (dx * light.axis[0] + dy * light.axis[1] + dz * light.axis[2]) / distance;
  return light.power * coneLight(cosine, numericalAperture, end) * distanceLight(distance);
}

/** A list of floats that grows by doubling. */
class Weights {
  count = 0;
  private all = new Float32Array(1 << 16);
  add(value: number): void {
    if (this.count === this.all.length) {
      const wider = new Float32Array(2 * this.all.length);
      wider.set(this.all);
      this.all = wider;
    }
    this.all[this.count++] = value;
  }
  taken(): Float32Array {
    return this.all.slice(0, this.count);
  }
}

/** A light in front of the eye: where it falls on the picture and how bright it is there. */
export interface SeenLight {
  light: Light;
  index: number;
  at: readonly [number, number];
  seen: number;
}

/** The lights that an eye at the camera sees, in whatever direction it turns; `hidden` tells those behind a corner. */
export function seenLights(
  lights: readonly Light[],
  camera: Camera,
  numericalAperture: number,
  end: EndCut,
  hidden: (light: Light) => boolean,
): SeenLight[] {
  return lights.flatMap((light, index) => {
    const at = toScreen(camera, light.xMm, light.yMm, camera.ceilingMm);
    if (at === null || hidden(light)) return [];
    return [{ light, index, at, seen: lightAtEye(light, camera, numericalAperture, end) }];
  });
}

/** The light that peaks at white among these (`exposureFor`). */
export function whiteOf(seen: readonly SeenLight[]): number {
  return exposureFor(seen.map((one) => one.seen));
}

/**
 * Lights as spots on the picture: points spread as in the eye (`pointSpread`); a strand thicker than the core
 * shows as a disc of its own size; the light is the same either way. `white` is the light that peaks at white.
 */
export function makeSpots(
  seen: readonly SeenLight[],
  camera: Camera,
  white: number,
  exposedAt: number,
  spotScale = 1,
): Spots {
  const spread = pointSpread(camera.focalPx, spotPx(camera.heightPx, spotScale));
  const gain = smallPictureGain(camera.heightPx, spotScale) / (white * exposedAt);
  const rows: { box: [number, number, number, number]; light: Light; index: number }[] = [];
  const weights = new Weights();
  const starts: number[] = [];
  for (const one of seen) {
    const peak = gain * one.seen;
    if (peak < CUT_LIGHT) continue;
    const reach = reachOf(spread, peak, CUT_LIGHT);
    const discPx = Math.max(0, radiusPxOf(one, camera) - spread.corePx / 2);
    const box = boxOf(one.at, Math.ceil(reach + discPx), camera);
    if (box === null) continue;
    starts.push(weights.count);
    addSpot(weights, one.at, peak, spread, reach, discPx, box);
    rows.push({ box: [box.left, box.top, box.width, box.height], light: one.light, index: one.index });
  }
  const tint = new Float32Array(rows.length * 3);
  rows.forEach((row, i) => tint.set(row.light.tint, i * 3));
  return {
    count: rows.length,
    left: Int32Array.from(rows, (row) => row.box[0]),
    top: Int32Array.from(rows, (row) => row.box[1]),
    width: Int32Array.from(rows, (row) => row.box[2]),
    height: Int32Array.from(rows, (row) => row.box[3]),
    start: Int32Array.from(starts),
    weights: weights.taken(),
    tint,
    channel: Int16Array.from(rows, (row) => row.light.channel),
    light: Int32Array.from(rows, (row) => row.index),
  };
}

function radiusPxOf({ light }: SeenLight, camera: Camera): number {
  if (light.radiusMm === 0) return 0;
  const dx = light.xMm - camera.eye[0];
  const dy = light.yMm - camera.eye[1];
  const dz = camera.ceilingMm - camera.eye[2];
  const distance = Math.sqrt(dx * dx + dy * dy + dz * dz);
  return (arcminOf(light.radiusMm, distance) * camera.focalPx) / 3437.746770784939;
}

interface Box {
  /** The whole spot, and the part of it on the picture. */
  x0: number;
  y0: number;
  side: number;
  left: number;
  top: number;
  width: number;
  height: number;
}

function boxOf(at: readonly [number, number], reach: number, camera: Camera): Box | null {
  const x0 = Math.floor(at[0]) - reach;
  const y0 = Math.floor(at[1]) - reach;
  const side = 2 * reach + 1;
  const left = Math.max(0, x0);
  const top = Math.max(0, y0);
  const width = Math.min(camera.widthPx, x0 + side) - left;
  const height = Math.min(camera.heightPx, y0 + side) - top;
  return width > 0 && height > 0 ? { x0, y0, side, left, top, width, height } : null;
}

/** Room for one spot, kept from spot to spot. */
let scratch = new Float64Array(0);

/** Weights of one spot, row by row, that add up to the light of a point within its reach. */
// eslint-disable-next-line max-params -- called in the inner loop
function addSpot(
  weights: Weights,
  at: readonly [number, number],
  peak: number,
  spread: PointSpread,
  reach: number,
  discPx: number,
  { x0, y0, side, left, top, width, height }: Box,
): void {
  if (scratch.length < side * side) scratch = new Float64Array(side * side);
  const values = scratch;
  let sum = 0;
  for (let j = 0; j < side; j++) {
    for (let i = 0; i < side; i++) {
      const ux = x0 + i + 0.5 - at[0];
      const uy = y0 + j + 0.5 - at[1];
      const r = Math.sqrt(ux * ux + uy * uy) - discPx;
      const value = r > reach ? 0 : spreadAt(spread, r > 0 ? r : 0);
      values[j * side + i] = value;
      sum += value;
    }
  }
  const scale = (peak * lightWithin(spread, reach)) / sum;
  for (let j = top - y0; j < top - y0 + height; j++) {
    for (let i = left - x0; i < left - x0 + width; i++) weights.add(values[j * side + i]! * scale);
  }
}
