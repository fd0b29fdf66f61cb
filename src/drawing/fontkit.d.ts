/** The small part of fontkit 2 that typeface.ts and outlined.ts use; the package brings no types. */
declare module "fontkit" {
  export interface PathCommand {
    command: "moveTo" | "lineTo" | "quadraticCurveTo" | "bezierCurveTo" | "closePath";
    /** Font units, y up. */
    args: number[];
  }
  export interface Font {
    unitsPerEm: number;
    hasGlyphForCodePoint(codePoint: number): boolean;
    glyphForCodePoint(codePoint: number): { advanceWidth: number; path: { commands: PathCommand[] } };
  }
  export function create(bytes: Uint8Array): Font;
}
