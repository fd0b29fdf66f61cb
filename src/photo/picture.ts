/** A decoded photograph, upright (any turn noted by the camera already undone). */
export interface Picture {
  name: string;
  widthPx: number;
  heightPx: number;
  /** Red, green, blue and, with four channels, a last one that is not looked at; sRGB, 0 to 255, row by row. */
  pixels: Uint8Array | Uint8ClampedArray;
  channels: 3 | 4;
}

/** Nobody needs more to see every strand, and browsers run out of memory soon after. */
export const MOST_MEGAPIXELS = 110;
/** Larger pictures are worked at this size. */
const WORKING_MEGAPIXELS = 16;

/** The size at which a picture is worked, its shape kept. */
export function workingSize(widthPx: number, heightPx: number): { widthPx: number; heightPx: number } {
  const scale = Math.min(1, Math.sqrt((WORKING_MEGAPIXELS * 1e6) / (widthPx * heightPx)));
  return { widthPx: Math.round(widthPx * scale), heightPx: Math.round(heightPx * scale) };
}

/**
 * The picture as amounts of light. White is WHITE steps, so two bytes a pixel hold it: a step is a ninth of that of an
 * 8-bit picture's darkest codes.
 */
export interface Light {
  widthPx: number;
  heightPx: number;
  /** Linear, in steps; `lightAt` gives 0 to 1, `isClipped` tells the marked ones. */
  light: Uint16Array;
}

/** At or above this (of 255) a channel tells no more than "at least so much". JPEG ringing spoils the last few. */
const CLIPPED = 250;
/** The steps of light from black to white, and what is added where a channel is clipped, so that one array carries both. */
export const WHITE = 0x7fff;
const CLIP_MARK = 0x8000;

/** Luminance weights of IEC 61966-2-1 (sRGB, the primaries of ITU-R BT.709). */
const WEIGHTS = [0.2126, 0.7152, 0.0722] as const;

/** Decodes sRGB (IEC 61966-2-1: linear foot to 0.04045, then the power of 2.4). */
export function linear(coded: number): number {
  const c = coded / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

const TABLES = WEIGHTS.map((weight) =>
  Float64Array.from({ length: 256 }, (_, v) => WHITE * weight * linear(v)),
);

/** No light yet: rows of a picture come by `readRows`, so that its pixels need never be in memory all at once. */
export const noLight = (widthPx: number, heightPx: number): Light => ({
  widthPx,
  heightPx,
  light: new Uint16Array(widthPx * heightPx),
});

/** Light of rows from one on. */
export function readRows(
  { widthPx, light }: Light,
  fromRow: number,
  { pixels, channels }: Pick<Picture, "pixels" | "channels">,
): void {
  const [red, green, blue] = TABLES as [Float64Array, Float64Array, Float64Array];
  const end = fromRow * widthPx + pixels.length / channels;
  for (let i = fromRow * widthPx, p = 0; i < end; i++, p += channels) {
    const r = pixels[p]!;
    const g = pixels[p + 1]!;
    const b = pixels[p + 2]!;
    const clipped = r >= CLIPPED || g >= CLIPPED || b >= CLIPPED;
    light[i] = red[r]! + green[g]! + blue[b]! + 0.5 + (clipped ? CLIP_MARK : 0);
  }
}

export function readLight(picture: Picture): Light {
  const light = noLight(picture.widthPx, picture.heightPx);
  readRows(light, 0, picture);
  return light;
}

export const isClipped = (marked: number): boolean => marked >= CLIP_MARK;
export const stepsAt = (marked: number): number => marked & WHITE;
export const lightAt = (marked: number): number => stepsAt(marked) / WHITE;
