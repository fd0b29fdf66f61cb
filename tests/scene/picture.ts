import { existsSync } from "node:fs";
import { mkdir } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import sharp from "sharp";

const GOLDEN = join(dirname(fileURLToPath(import.meta.url)), "golden");
/** Failed pictures and their differences are put here. */
const FAILED = join(GOLDEN, "..", "..", "..", "out", "golden-failed");

const raw = (widthPx: number, heightPx: number) => ({
  raw: { width: widthPx, height: heightPx, channels: 4 as const },
});

/**
 * Compares a picture, byte for byte, with its golden one. A missing one is written (never with CI set); on
 * a difference the new picture and one of the differences are saved. Returns "" or what is wrong.
 */
export async function againstGolden(
  name: string,
  rgba: Uint8ClampedArray,
  widthPx: number,
  heightPx: number,
): Promise<string> {
  const path = join(GOLDEN, `${name}.png`);
  if (!existsSync(path)) {
    if (process.env["CI"])
      return `${path} is missing; run the test without CI set and look at what it writes`;
    await sharp(rgba, raw(widthPx, heightPx)).png({ compressionLevel: 9 }).toFile(path);
    return "";
  }
  const golden = await sharp(path).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  if (golden.info.width !== widthPx || golden.info.height !== heightPx)
    return `${path} is ${golden.info.width} x ${golden.info.height}, the picture ${widthPx} x ${heightPx}`;
  const difference = new Uint8ClampedArray(rgba.length);
  let pixels = 0;
  let largest = 0;
  for (let i = 0; i < rgba.length; i += 4) {
    let most = 0;
    for (let k = 0; k < 3; k++) most = Math.max(most, Math.abs(rgba[i + k]! - golden.data[i + k]!));
    if (most > 0) pixels++;
    largest = Math.max(largest, most);
    difference[i] = difference[i + 1] = difference[i + 2] = Math.min(255, most * 8);
    difference[i + 3] = 255;
  }
  if (pixels === 0) return "";
  await mkdir(FAILED, { recursive: true });
  await sharp(rgba, raw(widthPx, heightPx))
    .png()
    .toFile(join(FAILED, `${name}.png`));
  await sharp(difference, raw(widthPx, heightPx))
    .png()
    .toFile(join(FAILED, `${name}-difference.png`));
  return `${pixels} pixels differ from ${path}, by up to ${largest}; see ${FAILED}`;
}
