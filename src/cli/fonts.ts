import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import type { FurtherId, Pieces, Shelf } from "../drawing/further.ts";
import type { FontBytes } from "../drawing/typeface.ts";

const { resolve } = createRequire(import.meta.url);
const read = (path: string): Promise<Uint8Array> => readFile(resolve(path));
const dejaVu = (name: string): Promise<Uint8Array> => read(`dejavu-fonts-ttf/ttf/${name}.ttf`);

/** Further fonts in their packages. */
const PACKAGES: Shelf = {
  pieces: async (id) =>
    JSON.parse(new TextDecoder().decode(await read(`@fontsource/${id}/unicode.json`))) as Pieces,
  bytes: (id: FurtherId, piece) => read(`@fontsource/${id}/files/${id}-${piece}-400-normal.woff`),
};

/** Further fonts are looked for only where some word needs one. */
async function fit(fonts: FontBytes, words: string): Promise<FontBytes> {
  if (/^[\p{ASCII}\u0080-\u058F\u2000-\u206F]*$/u.test(words)) return fonts;
  const { withFurther } = await import("../drawing/further.ts");
  return withFurther(fonts, words, PACKAGES);
}

/** DejaVu Sans from its package, the typeface of every printed page, and what else these words need. */
export async function loadFonts(words = ""): Promise<FontBytes> {
  const [regular, bold] = await Promise.all([dejaVu("DejaVuSans"), dejaVu("DejaVuSans-Bold")]);
  return fit({ regular, bold }, words);
}

/** For boards: condensed words, titles in a serif; scripts that these two lack in the typeface of the pages. */
export async function loadBoardFonts(words = ""): Promise<FontBytes> {
  const [regular, bold, sans] = await Promise.all(
    ["DejaVuSansCondensed", "DejaVuSerifCondensed", "DejaVuSans"].map(dejaVu),
  );
  return fit({ regular: regular!, bold: bold!, further: [sans!] }, words);
}
