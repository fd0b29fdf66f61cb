/** Rays a pixel and side of the room: while it comes, or in the dark, where no edge shows; and by day when it stands. */
export const FIRST_SAMPLES = 1;
export const STILL_SAMPLES = 2;
/** More pixels than this and twinkling frames drop (measured: renderScene in a worker). */
const MOST_PIXELS = 1_300_000;
const LEAST_PX = 32;

/** Pixels of a picture for a box of CSS pixels, as dense as the screen as far as frames allow; null without a box. */
export function pictureSize(
  width: number,
  height: number,
  density: number,
): { widthPx: number; heightPx: number } | null {
  if (width < LEAST_PX || height < LEAST_PX) return null;
  const ratio = Math.min(density, 2, Math.sqrt(MOST_PIXELS / (width * height)));
  return { widthPx: Math.round(width * ratio), heightPx: Math.round(height * ratio) };
}
