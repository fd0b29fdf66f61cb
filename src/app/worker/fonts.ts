import boldUrl from "dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf?url";
import regularUrl from "dejavu-fonts-ttf/ttf/DejaVuSans.ttf?url";
import { withFurther, type Shelf } from "../../drawing/further.ts";
import type { FontBytes } from "../../drawing/typeface.ts";
import type { Job } from "../../job/schema.ts";

let fonts: Promise<FontBytes> | null = null;

/** DejaVu Sans, the typeface of every printed page, and what else a job's words need: fetched when first asked for, again after a failure. */
export async function sheetFonts(job: Job): Promise<FontBytes> {
  fonts ??= fetchFonts().catch((error: unknown) => {
    fonts = null;
    throw error;
  });
  return withFurther(await fonts, JSON.stringify(job), SERVED);
}

async function fetchFonts(): Promise<FontBytes> {
  const [regular, bold] = await Promise.all([bytesOf(regularUrl), bytesOf(boldUrl)]);
  return { regular, bold };
}

const pieces = new Map<string, Promise<Uint8Array>>();

/** Further fonts beside the studio; one that can't be fetched leaves code points, and the warning says so. */
const SERVED: Shelf = {
  pieces: async (id) => (await import("./furtherFonts.ts")).PIECES[id],
  bytes: async (id, piece) => {
    const { URLS } = await import("./furtherFonts.ts");
    const url = URLS[id](piece);
    const known = pieces.get(url) ?? bytesOf(url);
    pieces.set(url, known);
    return known.catch(() => {
      pieces.delete(url);
      return null;
    });
  },
};

async function bytesOf(url: string): Promise<Uint8Array> {
  const response = await fetch(url);
  if (!response.ok) throw new Error(`${url}: the server answered ${response.status}`);
  return new Uint8Array(await response.arrayBuffer());
}
