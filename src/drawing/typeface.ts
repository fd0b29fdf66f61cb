import * as fontkit from "fontkit";

/** TrueType files as bytes: the core reads no files. Both shells pass DejaVu Sans, regular and bold. */
export interface FontBytes {
  regular: Uint8Array;
  bold: Uint8Array;
}

/** Widths and coverage of the two fonts, for laying out text before any writer sees it. */
export interface Typeface {
  widthMm(text: string, sizeMm: number, bold?: boolean): number;
  has(codePoint: number): boolean;
}

/** The two fonts, parsed. */
export interface Fonts {
  regular: fontkit.Font;
  bold: fontkit.Font;
}

const parsed = new WeakMap<FontBytes, Fonts>();

/** Parses the two fonts; the same bytes are parsed once, for every page and every PDF. */
export function parseFonts(bytes: FontBytes): Fonts {
  let fonts = parsed.get(bytes);
  if (!fonts) {
    fonts = { regular: fontkit.create(bytes.regular), bold: fontkit.create(bytes.bold) };
    parsed.set(bytes, fonts);
  }
  return fonts;
}

/** Reads the fonts' advance widths. Kerning is left out: a width may be a hair too long, never too short to matter. */
export function readTypeface(fonts: FontBytes): Typeface {
  const { regular, bold } = parseFonts(fonts);
  const widths = { regular: emWidths(regular), bold: emWidths(bold) };
  return {
    widthMm: (text, sizeMm, isBold = false) => (isBold ? widths.bold : widths.regular)(text) * sizeMm,
    has: (codePoint) => regular.hasGlyphForCodePoint(codePoint) && bold.hasGlyphForCodePoint(codePoint),
  };
}

/** Widths of texts in ems. Pages share most of their words, so each text is added up once. */
function emWidths(font: fontkit.Font): (text: string) => number {
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
      width = 0;
      for (const character of text) width += advanceOf(character);
      texts.set(text, width);
    }
    return width;
  };
}
