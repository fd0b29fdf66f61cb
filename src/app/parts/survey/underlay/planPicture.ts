import { LONGEST_PICTURE } from "../../../../job/limits.ts";
import type { PlanPicture } from "../commands/underlay.ts";

/** Sharp enough that a wall of a 20 m room is a line on it: 8 mm a dot. */
export const LONGEST_PX = 2400;
const QUALITIES = [0.82, 0.6, 0.4];
const SMALLER = 0.8;

/** A photograph or a scan, upright as its camera held it, no larger than a plan to trace needs to be. */
export async function decoded(bytes: Uint8Array, type: string): Promise<HTMLCanvasElement> {
  const bitmap = await createImageBitmap(new Blob([bytes.slice()], { type }));
  const scale = Math.min(1, LONGEST_PX / Math.max(bitmap.width, bitmap.height));
  return drawnOn(bitmap, bitmap.width * scale, bitmap.height * scale);
}

/** As a job carries it: coarser, and in the end smaller, until it is short enough. */
export async function pictureOf(canvas: HTMLCanvasElement, name: string): Promise<PlanPicture> {
  for (let now = canvas; ; now = drawnOn(now, now.width * SMALLER, now.height * SMALLER))
    for (const quality of QUALITIES) {
      const image = await asText(await written(now, quality));
      if (image.length <= LONGEST_PICTURE) return { name, image, sizePx: [now.width, now.height] };
    }
}

function drawnOn(source: CanvasImageSource, width: number, height: number): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(width));
  canvas.height = Math.max(1, Math.round(height));
  const pen = canvas.getContext("2d")!;
  // what a picture leaves open is paper
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.imageSmoothingQuality = "high";
  pen.drawImage(source, 0, 0, canvas.width, canvas.height);
  return canvas;
}

/** WebP where the browser writes it, else JPEG. */
async function written(canvas: HTMLCanvasElement, quality: number): Promise<Blob> {
  const as = (type: string) => new Promise<Blob | null>((done) => canvas.toBlob(done, type, quality));
  const webp = await as("image/webp");
  const blob = webp?.type === "image/webp" ? webp : await as("image/jpeg");
  if (!blob) throw new Error("this browser wrote no picture");
  return blob;
}

const asText = (blob: Blob): Promise<string> =>
  new Promise((done, fail) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result as string);
    reader.onerror = () => fail(reader.error as Error);
    reader.readAsDataURL(blob);
  });
