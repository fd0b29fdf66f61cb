import boldUrl from "dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf?url";
import regularUrl from "dejavu-fonts-ttf/ttf/DejaVuSans.ttf?url";
import type { FontBytes } from "../../drawing/typeface.ts";

let fonts: Promise<FontBytes> | null = null;

/** DejaVu Sans, the typeface of every printed page: fetched when first asked for, again after a failure. */
export function sheetFonts(): Promise<FontBytes> {
  fonts ??= fetchFonts().catch((error: unknown) => {
    fonts = null;
    throw error;
  });
  return fonts;
}

async function fetchFonts(): Promise<FontBytes> {
  const [regular, bold] = await Promise.all([bytesOf(regularUrl), bytesOf(boldUrl)]);
  return { regular, bold };
}

async function bytesOf(url: string): Promise<Uint8Array> {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`${url}: the server answered ${response.status}`);
  return new Uint8Array(await response.arrayBuffer());
}
