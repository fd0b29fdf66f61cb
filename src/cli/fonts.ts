import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import type { FontBytes } from "../drawing/typeface.ts";

async function load(regular: string, bold: string): Promise<FontBytes> {
  const resolve = createRequire(import.meta.url).resolve;
  const read = (name: string) => readFile(resolve(`dejavu-fonts-ttf/ttf/${name}`));
  const [one, two] = await Promise.all([read(regular), read(bold)]);
  return { regular: one as Uint8Array, bold: two as Uint8Array };
}

/** DejaVu Sans from its package: the typeface of every printed page. */
export async function loadFonts(): Promise<FontBytes> {
  return load("DejaVuSans.ttf", "DejaVuSans-Bold.ttf");
}

/** For boards: condensed words, titles in a serif. */
export async function loadBoardFonts(): Promise<FontBytes> {
  return load("DejaVuSansCondensed.ttf", "DejaVuSerifCondensed.ttf");
}
