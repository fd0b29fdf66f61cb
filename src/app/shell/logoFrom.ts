import { LONGEST_LOGO } from "../../job/logo.ts";

/** As wide as three inches at 300 dots: more than the papers show. */
const LONGEST_PX = 900;
const QUALITIES = [0.92, 0.8, 0.6];

/** A picture of any kind the browser reads (PNG, JPEG, WebP, SVG) on white paper, as the job keeps it; null where it reads none. */
export async function logoFrom(file: File): Promise<string | null> {
  const url = URL.createObjectURL(file);
  try {
    const image = new Image();
    image.src = url;
    await image.decode();
    const [width, height] = [image.naturalWidth || LONGEST_PX, image.naturalHeight || LONGEST_PX];
    const scale = Math.min(1, LONGEST_PX / Math.max(width, height)) || 1;
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(width * scale));
    canvas.height = Math.max(1, Math.round(height * scale));
    const pen = canvas.getContext("2d")!;
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(image, 0, 0, canvas.width, canvas.height);
    const texts = QUALITIES.map((quality) => canvas.toDataURL("image/jpeg", quality));
    return texts.find((text) => text.length <= LONGEST_LOGO) ?? null;
  } catch {
    return null;
  } finally {
    URL.revokeObjectURL(url);
  }
}
