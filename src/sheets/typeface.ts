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

/** Reads the fonts' advance widths. Kerning is left out: a width may be a hair too long, never too short to matter. */
export function readTypeface(fonts: FontBytes): Typeface {
  const regular = fontkit.create(fonts.regular);
  const bold = fontkit.create(fonts.bold);
  const widths = { regular: new Map<number, number>(), bold: new Map<number, number>() };
  function advance(font: fontkit.Font, known: Map<number, number>, codePoint: number): number {
    let width = known.get(codePoint);
    if (width === undefined) {
      width = font.glyphForCodePoint(codePoint).advanceWidth / font.unitsPerEm;
      known.set(codePoint, width);
    }
    return width;
  }
  return {
    widthMm(text, sizeMm, isBold = false) {
      const font = isBold ? bold : regular;
      const known = isBold ? widths.bold : widths.regular;
      let em = 0;
      for (const character of text) em += advance(font, known, character.codePointAt(0)!);
      return em * sizeMm;
    },
    has: (codePoint) => regular.hasGlyphForCodePoint(codePoint) && bold.hasGlyphForCodePoint(codePoint),
  };
}
