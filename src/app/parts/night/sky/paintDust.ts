import { type PlanView, toScreen, xSign } from "../../../stage/planView.ts";
import type { SkyPicture } from "../worker/api.ts";

/** Outside the room the sky is a hint of where it goes on. */
const OUTSIDE = 0.22;
let image: ImageData | null = null;
let pixels = new Uint32Array();

/** Strength of a faint star by its magnitude in tenths: each step of magnitude is this much fainter on the drawing. */
const FADE_PER_MAGNITUDE = 0.62;
const STRENGTH = Float64Array.from(
  { length: 160 },
  (_, tenth) => 250 * FADE_PER_MAGNITUDE ** (tenth / 10 - 4),
);

/**
 * Which pixels of an RGBA picture are not clear, a bit for each: so small that it stays in the processor's cache,
 * where it saves more time than all the arithmetic of a star takes.
 */
export function maskOf(rgba: Uint8ClampedArray): Uint32Array {
  const bits = new Uint32Array(Math.ceil(rgba.length / 4 / 32));
  for (let pixel = 0; pixel < rgba.length / 4; pixel++) {
    if (rgba[4 * pixel + 3] !== 0) bits[pixel >>> 5]! |= 1 << (pixel & 31);
  }
  return bits;
}

/**
 * Paints the faint stars straight into pixels, a star's light spread over the four it lies between. Some
 * ten thousand of them cost less this way than a few hundred discs. Replaces what is on the canvas. The
 * mask says which pixels lie in the room.
 */
export function paintDust({
  pen,
  picture,
  planView,
  ratio,
  fromMilli,
  rgb: [red, green, blue],
  roomMask,
}: {
  pen: CanvasRenderingContext2D;
  picture: SkyPicture;
  planView: PlanView;
  ratio: number;
  fromMilli: number;
  rgb: readonly [number, number, number];
  roomMask: Uint32Array;
}): void {
  const { width, height } = pen.canvas;
  if (width === 0 || height === 0) return;
  if (image?.width !== width || image.height !== height) {
    image = new ImageData(width, height);
    pixels = new Uint32Array(image.data.buffer);
  } else pixels.fill(0);
  const colour = red | (green << 8) | (blue << 16);
  const { stars, count } = picture;
  const [atX, atY] = toScreen(planView, [0, 0]);
  const perUm = (planView.pxPerMm * ratio) / 1000;
  const alongX = xSign(planView.side) * perUm;
  // On dense screens a star has to cover the same angle, so it gets more of each pixel.
  const gain = 0.6 + 0.4 * ratio;
  const add = (pixel: number, light: number): void => {
    const lit = (pixels[pixel]! >>> 24) + light;
    pixels[pixel] = colour | ((lit > 255 ? 255 : lit) << 24);
  };
  for (let i = 3 * (count - 1); i >= 0; i -= 3) {
    const milli = stars[i + 2]!;
    if (milli <= fromMilli) break;
    const x = atX * ratio + stars[i]! * alongX - 0.5;
    const y = atY * ratio - stars[i + 1]! * perUm - 0.5;
    const left = Math.floor(x);
    const top = Math.floor(y);
    if (left < 0 || top < 0 || left >= width - 1 || top >= height - 1) continue;
    const pixel = top * width + left;
    const inRoom = (roomMask[pixel >>> 5]! >>> (pixel & 31)) & 1;
    const strength = gain * (STRENGTH[(milli / 100) | 0] ?? 0) * (inRoom ? 1 : OUTSIDE);
    const u = x - left;
    const v = y - top;
    add(pixel, (strength * (1 - u) * (1 - v)) | 0);
    add(pixel + 1, (strength * u * (1 - v)) | 0);
    add(pixel + width, (strength * (1 - u) * v) | 0);
    add(pixel + width + 1, (strength * u * v) | 0);
  }
  pen.putImageData(image, 0, 0);
}
