import * as fontkit from "fontkit";
import { emWidthOf, isPlain } from "./runs.ts";

/** Font files as bytes: the core reads no files. Both shells pass DejaVu Sans, regular and bold. */
export interface FontBytes {
  regular: Uint8Array;
  bold: Uint8Array;
  /** For scripts that these two lack, in the order in which they are tried (further.ts). */
  further?: readonly Uint8Array[];
}

export type Weight = "regular" | "bold";

/** Widths and coverage of the two fonts, for laying out text before any writer sees it. */
export interface Typeface {
  widthMm(text: string, sizeMm: number, bold?: boolean): number;
  has(codePoint: number): boolean;
}

/** The fonts, parsed. */
export interface Fonts {
  regular: fontkit.Font;
  bold: fontkit.Font;
  further: readonly fontkit.Font[];
}

const parsed = new WeakMap<Uint8Array, fontkit.Font>();

/** Parses fonts; the same bytes are parsed once, for every page and every PDF. */
export const parseFonts = ({ regular, bold, further = [] }: FontBytes): Fonts => ({
  regular: parse(regular),
  bold: parse(bold),
  further: further.map(parse),
});

function parse(bytes: Uint8Array): fontkit.Font {
  let font = parsed.get(bytes);
  if (!font) parsed.set(bytes, (font = keepingCharacters(fontkit.create(bytes))));
  return font;
}

/**
 * fontkit keeps every glyph as it first met it. One met as a part of another (the "e" of "ę") would have no character
 * from then on, and whoever searches a PDF would not find it.
 */
function keepingCharacters(font: fontkit.Font): fontkit.Font {
  const get = font.getGlyph.bind(font);
  font.getGlyph = (id, characters = []) => {
    const glyph = get(id, characters);
    if (glyph && glyph.codePoints.length === 0) glyph.codePoints = characters;
    return glyph;
  };
  return font;
}

/** Reads the fonts' advance widths; of unusual scripts, as they are joined. Kerning is left out: a width may be a hair too long, never too short to matter. */
export function readTypeface(fonts: FontBytes): Typeface {
  const all = parseFonts(fonts);
  const { regular, bold, further } = all;
  const widths = { regular: emWidths(all, "regular"), bold: emWidths(all, "bold") };
  return {
    widthMm: (text, sizeMm, isBold = false) => (isBold ? widths.bold : widths.regular)(text) * sizeMm,
    has: (codePoint) =>
      (regular.hasGlyphForCodePoint(codePoint) && bold.hasGlyphForCodePoint(codePoint)) ||
      further.some((font) => font.hasGlyphForCodePoint(codePoint)),
  };
}

/** Widths of texts in ems. Pages share most of their words, so each text is added up once. */
function emWidths(fonts: Fonts, weight: Weight): (text: string) => number {
  const font = fonts[weight];
  const advances = new Map<string, number>();
  const texts = new Map<string, number>();
  const advanceOf = (character: string): number => {
    let advance = advances.get(character);
    if (advance === undefined) {
      advance = font.glyphForCodePoint(character.codePointAt(0)!).advanceWidth / font.unitsPerEm;
      advances.set(character, advance);
    }
    return advance;
  };
  return (text) => {
    let width = texts.get(text);
    if (width === undefined) {
      width = isPlain(text) ? 0 : emWidthOf(text, weight, fonts);
      if (isPlain(text)) for (const character of text) width += advanceOf(character);
      texts.set(text, width);
    }
    return width;
  };
}
