/** The small part of fontkit 2 that typeface.ts and outlined.ts use; the package brings no types. */
declare module "fontkit" {
  export interface PathCommand {
    command: "moveTo" | "lineTo" | "quadraticCurveTo" | "bezierCurveTo" | "closePath";
    /** Font units, y up. */
    args: number[];
  }
  export interface Glyph {
    advanceWidth: number;
    codePoints: number[];
    path: { commands: PathCommand[] };
  }
  export interface Font {
    unitsPerEm: number;
    hasGlyphForCodePoint(codePoint: number): boolean;
    getGlyph(id: number, characters?: number[]): Glyph | null;
    glyphForCodePoint(codePoint: number): Glyph;
    /** Glyphs from left to right, as the script joins and turns them. */
    layout(
      text: string,
      features: string[],
    ): {
      glyphs: Glyph[];
      positions: { xAdvance: number; xOffset: number; yOffset: number }[];
      advanceWidth: number;
    };
  }
  export function create(bytes: Uint8Array): Font;
}
