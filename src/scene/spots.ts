import { toScreen, type Camera } from "./camera.ts";
import { FACTS } from "../trade/facts.ts";
import { arcminOf, coneLight, distanceLight, type EndCut } from "./photometry.ts";
import type { Light, Spots } from "./types.ts";

/** Light on the screen of the reference strand on its axis at the reference distance, engines full. */
export const EXPOSURE = 3.4;

/** Width at half height of the smallest spot a picture holds, pixels, and what suits a picture of a height. */
const SMALLEST_SPOT_PX = 1.2;
const SPOT_PER_HEIGHT = 1 / 480;

/** Width at half height of a point's spot, pixels. */
export function spotPx(heightPx: number, spotScale = 1): number {
  return Math.max(SMALLEST_SPOT_PX, heightPx * SPOT_PER_HEIGHT * spotScale);
}

/**
 * A picture too small for its spots would look crowded with light; this dims it, by the power 3/4 of the spots'
 * excess (the second power would be a picture made small, in which the faint ones are lost). 1 from 576 pixels up.
 */
export function smallPictureGain(heightPx: number, spotScale = 1): number {
  const excess = (heightPx * SPOT_PER_HEIGHT) / spotPx(heightPx, spotScale);
  return Math.sqrt(excess) * Math.sqrt(Math.sqrt(excess));
}

/**
 * Glare, by which a brighter point looks larger. Light strewn inside the eye falls with about the third power of
 * the angle from a point (CIE 146:2002, disability glare, leading term 10/angle^3; from memory). How much of the
 * peak it has and how wide it starts is a look, not a measurement: the most for a strand of GLARING power
 * (1.5 mm), with the square of the power below, so that the few thick strands glow and the many thin ones stay
 * points on black, as an eye in the dark tells them apart at a glance.
 */
const GLARE = 0.22;
const GLARE_WIDTH = 3.3;
const GLARING = 4;
/** A spot ends where it falls below this light. */
const CUT_LIGHT = 0.006;
const LARGEST_SPOT_PX = 200;

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

/** Part of the peak that is glare. */
function glareOf(power: number): number {
  const share = power / GLARING;
  return GLARE * Math.min(1, share * share);
}

interface Profile {
  core2: number;
  halo2: number;
  /** Part of the peak that is glare. */
  glare: number;
  /** Sum over the plane of the profile of a point. */
  whole: number;
  halfWidth: number;
}

/** Moffat profiles (1 + r^2/a^2)^-b: b = 3 for the core, b = 3/2 for the glare. Exact arithmetic only. */
function profileOf(camera: Camera, spotScale: number, glare: number): Profile {
  const pxPerArcmin = camera.focalPx / 3437.746770784939;
  const fullWidth = Math.max(spotPx(camera.heightPx, spotScale), FACTS.acuityArcmin.value * pxPerArcmin);
  const core = fullWidth / 1.019649;
  const core2 = core * core;
  const halo2 = core2 * GLARE_WIDTH * GLARE_WIDTH;
  const whole = Math.PI * ((1 - glare) * core2 * 0.5 + glare * halo2 * 2);
  return { core2, halo2, glare, whole, halfWidth: fullWidth / 2 };
}

function valueAt(profile: Profile, distance: number, discPx: number): number {
  const r = distance > discPx ? distance - discPx : 0;
  const core = 1 + (r * r) / profile.core2;
  const halo = 1 + (r * r) / profile.halo2;
  return (1 - profile.glare) / (core * core * core) + profile.glare / (halo * Math.sqrt(halo));
}

/** How far out a spot of this peak still shows. */
function reachPx(profile: Profile, peak: number, discPx: number): number {
  let r = 1;
  while (r < LARGEST_SPOT_PX && peak * valueAt(profile, r + discPx, discPx) > CUT_LIGHT) r *= 1.15;
  return Math.ceil(r + discPx);
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

/**
 * Lights as spots on the picture. A strand smaller than the eye's acuity (or the picture's) is a point spread
 * over the smallest spot; a thicker one shows as a disc of its own size; the light is the same either way.
 * `hidden` tells lights that stand behind a corner of the room; `spotScale` widens the smallest spot.
 */
export function makeSpots(
  lights: readonly Light[],
  camera: Camera,
  numericalAperture: number,
  end: EndCut,
  hidden: (light: Light) => boolean,
  spotScale = 1,
): Spots {
  const exposure = EXPOSURE * smallPictureGain(camera.heightPx, spotScale);
  const rows: { box: [number, number, number, number]; light: number }[] = [];
  const weights = new Weights();
  const starts: number[] = [];
  lights.forEach((light, index) => {
    const at = toScreen(camera, light.xMm, light.yMm, camera.ceilingMm);
    if (at === null || hidden(light)) return;
    const shown = exposure * lightAtEye(light, camera, numericalAperture, end);
    if (shown < CUT_LIGHT) return;
    const dx = light.xMm - camera.eye[0];
    const dy = light.yMm - camera.eye[1];
    const dz = camera.ceilingMm - camera.eye[2];
    const distance = Math.sqrt(dx * dx + dy * dy + dz * dz);
    const profile = profileOf(camera, spotScale, glareOf(light.power));
    const radiusPx = (arcminOf(light.radiusMm, distance) * camera.focalPx) / 3437.746770784939;
    const discPx = Math.max(0, radiusPx - profile.halfWidth);
    const reach = reachPx(profile, shown, discPx);
    const x0 = Math.floor(at[0]) - reach;
    const y0 = Math.floor(at[1]) - reach;
    const side = 2 * reach + 1;
    const left = Math.max(0, x0);
    const top = Math.max(0, y0);
    const right = Math.min(camera.widthPx, x0 + side);
    const bottom = Math.min(camera.heightPx, y0 + side);
    if (right <= left || bottom <= top) return;
    const floor = valueAt(profile, reach, discPx);
    const values = new Float64Array(side * side);
    let sum = 0;
    for (let j = 0; j < side; j++) {
      for (let i = 0; i < side; i++) {
        const ux = x0 + i + 0.5 - at[0];
        const uy = y0 + j + 0.5 - at[1];
        const value = valueAt(profile, Math.sqrt(ux * ux + uy * uy), discPx) - floor;
        if (value <= 0) continue;
        values[j * side + i] = value;
        sum += value;
      }
    }
    const scale = (shown * profile.whole) / sum;
    starts.push(weights.count);
    for (let j = top - y0; j < bottom - y0; j++) {
      for (let i = left - x0; i < right - x0; i++) weights.add(values[j * side + i]! * scale);
    }
    rows.push({ box: [left, top, right - left, bottom - top], light: index });
  });
  const tint = new Float32Array(rows.length * 3);
  rows.forEach((row, i) => tint.set(lights[row.light]!.tint, i * 3));
  return {
    count: rows.length,
    left: Int32Array.from(rows, (row) => row.box[0]),
    top: Int32Array.from(rows, (row) => row.box[1]),
    width: Int32Array.from(rows, (row) => row.box[2]),
    height: Int32Array.from(rows, (row) => row.box[3]),
    start: Int32Array.from(starts),
    weights: weights.taken(),
    tint,
    channel: Int16Array.from(rows, (row) => lights[row.light]!.channel),
    light: Int32Array.from(rows, (row) => row.light),
  };
}
