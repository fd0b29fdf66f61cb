import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import type { FontBytes } from "../sheets/typeface.ts";

/** DejaVu Sans from its package: the typeface of every printed page. */
export async function loadFonts(): Promise<FontBytes> {
  const resolve = createRequire(import.meta.url).resolve;
  const [regular, bold] = await Promise.all(
    ["DejaVuSans.ttf", "DejaVuSans-Bold.ttf"].map((name) =>
      readFile(resolve(`dejavu-fonts-ttf/ttf/${name}`)),
    ),
  );
  return { regular: regular as Uint8Array, bold: bold as Uint8Array };
}
