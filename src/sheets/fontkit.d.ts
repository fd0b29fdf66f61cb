/** The small part of fontkit 2 that typeface.ts uses; the package brings no types. */
declare module "fontkit" {
  export interface Font {
    unitsPerEm: number;
    hasGlyphForCodePoint(codePoint: number): boolean;
    glyphForCodePoint(codePoint: number): { advanceWidth: number };
  }
  export function create(bytes: Uint8Array): Font;
}
