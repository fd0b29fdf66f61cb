import sharp from "sharp";
import type { Ceiling } from "../ceiling/types.ts";
import { JobFaults } from "../job/faults.ts";
import type { Seat } from "../scene/camera.ts";
import { lookAtFilling } from "../scene/framing.ts";

/** Above this, PNG takes ten times as long for a tenth less (measured on the dark pictures, which have grain). */
const PNG = { compressionLevel: 4 };

/** An RGBA frame as a PNG file; `overlaySvg` is drawn over it. */
export async function pngOf(
  rgba: Uint8ClampedArray,
  widthPx: number,
  heightPx: number,
  overlaySvg?: string,
): Promise<Uint8Array> {
  const frame = sharp(rgba, { raw: { width: widthPx, height: heightPx, channels: 4 } }).removeAlpha();
  if (overlaySvg !== undefined) frame.composite([{ input: Buffer.from(overlaySvg) }]);
  return frame.png(PNG).toBuffer();
}

/** An RGBA frame as JPEG, full colour resolution, for printing inside a PDF. */
export async function jpegOf(
  rgba: Uint8ClampedArray,
  widthPx: number,
  heightPx: number,
): Promise<Uint8Array> {
  return sharp(rgba, { raw: { width: widthPx, height: heightPx, channels: 4 } })
    .removeAlpha()
    .jpeg({ quality: 92, chromaSubsampling: "4:4:4" })
    .toBuffer();
}

/** An SVG drawing as PNG, `widthPx` wide. */
export async function pngOfSvg(svg: string, widthPx: number): Promise<Uint8Array> {
  return sharp(Buffer.from(svg), { unlimited: true }).resize({ width: widthPx }).png(PNG).toBuffer();
}

/** "1920x1200" as pixels. */
export function readSize(text: string): { widthPx: number; heightPx: number } {
  const match = /^\s*(\d{2,5})\s*[x×]\s*(\d{2,5})\s*$/i.exec(text);
  if (match) return { widthPx: Number(match[1]), heightPx: Number(match[2]) };
  throw new JobFaults([
    {
      path: "--size",
      expected: "width x height in pixels, as 1920x1200",
      got: text,
      next: "Write two numbers.",
    },
  ]);
}

/** A number option within bounds. */
export function readNumber(path: string, text: string, least: number, most: number): number {
  const value = Number(text);
  if (text.trim() !== "" && value >= least && value <= most) return value;
  throw new JobFaults([
    { path, expected: `a number from ${least} to ${most}`, got: text, next: "Give a number in that range." },
  ]);
}

/** A seat by its name, its number (1 is the first), or "x,y" / "x,y,eye" in mm on the plan. */
export function findSeat(
  seats: readonly Seat[],
  wanted: string | undefined,
  ceiling: Ceiling,
  heightMm: number,
): Seat {
  if (wanted === undefined) return seats[0]!;
  const named = seats.find((seat) => seat.name.toLowerCase() === wanted.toLowerCase());
  if (named) return named;
  const numbers = wanted.split(",").map(Number);
  if (numbers.length === 1 && Number.isInteger(numbers[0]) && seats[numbers[0]! - 1])
    return seats[numbers[0]! - 1]!;
  if ((numbers.length === 2 || numbers.length === 3) && numbers.every(Number.isFinite)) {
    const [x, y, eye] = numbers as [number, number, number?];
    const place = { atMm: [x, y] as Seat["atMm"], eyeMm: eye ?? 1200, fieldDeg: 90 };
    return { name: wanted, ...place, lookAtMm: lookAtFilling(ceiling, heightMm, place) };
  }
  throw new JobFaults([
    {
      path: "--seat",
      expected: `one of ${seats.map((seat) => seat.name).join(", ")}, or "x,y" or "x,y,eye height" in mm`,
      got: wanted,
      next: "Name a seat of the job (scene.seats), or give a place on the plan.",
    },
  ]);
}
