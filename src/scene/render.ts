import { channelLight } from "./lights.ts";
import { putPixel } from "./tone.ts";
import type { Scene, Spots } from "./types.ts";

export interface FrameOptions {
  /** Seconds since the wheel started; the same time gives the same bytes. */
  timeS?: number;
  /** Light of the engines, 0 to 1; the real sky has none. */
  dimmer?: number;
}

/** What stays the same from frame to frame at one setting of the dimmer. */
interface Still {
  dimmer: number;
  linear: Float32Array;
  bytes: Uint8ClampedArray;
  work: Float32Array;
}
const stills = new WeakMap<Scene, Still>();

function addSpot(linear: Float32Array, widthPx: number, spots: Spots, i: number, gain: number): void {
  const red = spots.tint[3 * i]! * gain;
  const green = spots.tint[3 * i + 1]! * gain;
  const blue = spots.tint[3 * i + 2]! * gain;
  const { weights } = spots;
  const width = spots.width[i]!;
  let w = spots.start[i]!;
  for (let row = 0; row < spots.height[i]!; row++) {
    let p = 3 * ((spots.top[i]! + row) * widthPx + spots.left[i]!);
    for (let column = 0; column < width; column++, p += 3, w++) {
      const weight = weights[w]!;
      linear[p] = linear[p]! + weight * red;
      linear[p + 1] = linear[p + 1]! + weight * green;
      linear[p + 2] = linear[p + 2]! + weight * blue;
    }
  }
}

function makeStill(scene: Scene, dimmer: number): Still {
  const linear = scene.room.slice();
  const { spots } = scene;
  for (let i = 0; i < spots.count; i++) {
    if (spots.channel[i]! < 0) addSpot(linear, scene.widthPx, spots, i, dimmer);
  }
  const bytes = new Uint8ClampedArray(scene.widthPx * scene.heightPx * 4);
  for (let q = 0, p = 0; q < bytes.length; q += 4, p += 3) {
    putPixel(bytes, q, linear[p]!, linear[p + 1]!, linear[p + 2]!);
    bytes[q + 3] = 255;
  }
  return { dimmer, linear, bytes, work: linear.slice() };
}

/**
 * One frame, RGBA, sRGB, top left first. Pure: the same scene, time and dimmer give the same bytes in every
 * engine. Steady light is kept from frame to frame (a cache, not a state); only pixels that twinkling
 * strands touch are worked again. `out` may be handed in to be filled.
 */
export function renderScene(
  scene: Scene,
  options: FrameOptions = {},
  out = new Uint8ClampedArray(scene.widthPx * scene.heightPx * 4),
): Uint8ClampedArray {
  const dimmer = scene.dims ? (options.dimmer ?? 1) : 1;
  const timeS = options.timeS ?? 0;
  let still = stills.get(scene);
  if (still?.dimmer !== dimmer) {
    still = makeStill(scene, dimmer);
    stills.set(scene, still);
  }
  out.set(still.bytes);
  const { spots, restless, wheel } = scene;
  const { work, linear } = still;
  for (const pixel of restless) {
    work[3 * pixel] = linear[3 * pixel]!;
    work[3 * pixel + 1] = linear[3 * pixel + 1]!;
    work[3 * pixel + 2] = linear[3 * pixel + 2]!;
  }
  const gains = Float64Array.from(wheel.lobes, (_, c) => dimmer * channelLight(wheel, c, timeS));
  for (let i = 0; i < spots.count; i++) {
    const channel = spots.channel[i]!;
    if (channel >= 0) addSpot(work, scene.widthPx, spots, i, gains[channel]!);
  }
  for (const pixel of restless) {
    putPixel(out, 4 * pixel, work[3 * pixel]!, work[3 * pixel + 1]!, work[3 * pixel + 2]!);
  }
  return out;
}

/** Pixels that any spot on a channel touches, in rising order. */
export function restlessPixels(spots: Spots, widthPx: number, heightPx: number): Uint32Array {
  const touched = new Uint8Array(widthPx * heightPx);
  for (let i = 0; i < spots.count; i++) {
    if (spots.channel[i]! < 0) continue;
    for (let row = 0; row < spots.height[i]!; row++) {
      const from = (spots.top[i]! + row) * widthPx + spots.left[i]!;
      touched.fill(1, from, from + spots.width[i]!);
    }
  }
  const pixels: number[] = [];
  touched.forEach((t, pixel) => t === 1 && pixels.push(pixel));
  return Uint32Array.from(pixels);
}
