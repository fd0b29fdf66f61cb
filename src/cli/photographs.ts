import { existsSync } from "node:fs";
import { basename } from "node:path";
import sharp from "sharp";
import type { Drawing } from "../drawing/drawing.ts";
import { outlined } from "../drawing/outlined.ts";
import { toSvg } from "../drawing/svg.ts";
import type { FontBytes } from "../drawing/typeface.ts";
import { JobFaults } from "../job/faults.ts";
import type { Fault } from "../job/faults.ts";
import { MOST_MEGAPIXELS, workingSize, type Picture } from "../photo/picture.ts";
import { footPx } from "../sheets/photo/marked.ts";

const limitInputPixels = MOST_MEGAPIXELS * 1e6;

/** Refuses, all at once and before any work, what is no picture or too large. Throws JobFaults. */
export async function checkPictures(paths: readonly string[]): Promise<void> {
  const faults = (await Promise.all(paths.map(faultOf))).filter((fault) => fault !== null);
  if (faults.length > 0) throw new JobFaults(faults);
}

async function faultOf(path: string): Promise<Fault | null> {
  try {
    const { width, height, format } = await sharp(path, { limitInputPixels: false }).metadata();
    const megapixels = (width * height) / 1e6;
    if (megapixels > MOST_MEGAPIXELS)
      return {
        path,
        expected: `a picture of up to ${MOST_MEGAPIXELS} megapixels`,
        got: `${Math.round(megapixels)} megapixels`,
        next: "Set the phone to 12 megapixels and take it again: that holds every strand of a whole ceiling.",
      };
    if (format === "jpeg" || format === "png") return null;
    return { path, expected: "a JPEG or PNG picture", got: String(format), next: "Save it as JPEG." };
  } catch {
    const missing = !existsSync(path);
    return {
      path,
      expected: "a JPEG or PNG picture",
      got: missing ? "no such file" : "no picture that can be read",
      next: missing
        ? "Check the name."
        : "Choose the photograph itself; a HEIC picture has to be saved as JPEG first.",
    };
  }
}

/** The pixels of a photograph, turned upright as its EXIF says; a larger one than is needed is made smaller. */
export async function readPicture(path: string): Promise<Picture> {
  try {
    const image = sharp(path, { limitInputPixels }).autoOrient().removeAlpha().toColourspace("srgb");
    const { autoOrient } = await sharp(path, { limitInputPixels }).metadata();
    const { widthPx, heightPx } = workingSize(autoOrient.width, autoOrient.height);
    if (widthPx !== autoOrient.width) image.resize(widthPx, heightPx, { fit: "fill" });
    const { data, info } = await image.raw().toBuffer({ resolveWithObject: true });
    return { name: basename(path), widthPx: info.width, heightPx: info.height, pixels: data, channels: 3 };
  } catch {
    throw new JobFaults([
      {
        path,
        expected: "a whole JPEG or PNG picture",
        got: "one that breaks off or is damaged",
        next: "Copy it from the phone again.",
      },
    ]);
  }
}

/** The photograph with marks over it and their explanation under it, as JPEG. */
export async function markedPicture(
  path: string,
  marks: Drawing,
  fonts: FontBytes,
): Promise<{ bytes: Uint8Array; widthPx: number; heightPx: number }> {
  const { widthPx, heightPx, pixels } = await readPicture(path);
  const foot = footPx({ widthPx, heightPx });
  const whole = heightPx + foot;
  const over = await sharp(Buffer.from(toSvg(outlined(marks, fonts))), { unlimited: true })
    .resize(widthPx, whole, { fit: "fill" })
    .png({ compressionLevel: 1 })
    .toBuffer();
  const bytes = await sharp(pixels, { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .extend({ bottom: foot, background: "#101010" })
    .composite([{ input: over }])
    .jpeg({ quality: 88 })
    .toBuffer();
  return { bytes, widthPx, heightPx: whole };
}
