import { unusual } from "./runs.ts";
import { parseFonts, type FontBytes } from "./typeface.ts";

/** Fonts for what DejaVu lacks, in the order in which they are tried: Japanese; pictures among letters. */
export const FURTHER = ["biz-udgothic", "noto-emoji"] as const;
export type FurtherId = (typeof FURTHER)[number];

/** A font comes in pieces: the name of each to its characters, "U+3041-3096,U+30fb". */
export type Pieces = Readonly<Record<string, string>>;

/** Where a shell keeps further fonts; `bytes` is null where it can't get at them now. */
export interface Shelf {
  pieces(id: FurtherId): Promise<Pieces>;
  bytes(id: FurtherId, piece: string): Promise<Uint8Array | null>;
}

/** The fonts with the pieces of further ones that these words need; the same where they need none. */
export async function withFurther(fonts: FontBytes, words: string, shelf: Shelf): Promise<FontBytes> {
  const main = Object.values(parseFonts(fonts)).flat();
  let lacking = unusual(words.normalize("NFC"))
    .map((character) => character.codePointAt(0)!)
    .filter((codePoint) => !main.some((font) => font.hasGlyphForCodePoint(codePoint)));
  const further: Uint8Array[] = [];
  for (const id of FURTHER) {
    if (lacking.length === 0) break;
    const { names, left } = piecesFor(lacking, await shelf.pieces(id));
    lacking = left;
    for (const name of names) {
      const bytes = await shelf.bytes(id, name);
      if (bytes) further.push(bytes);
    }
  }
  return further.length === 0 ? fonts : { ...fonts, further: [...(fonts.further ?? []), ...further] };
}

/** The pieces that hold some of those characters, each character once, and what none holds. */
function piecesFor(codePoints: readonly number[], pieces: Pieces): { names: string[]; left: number[] } {
  let left = [...codePoints];
  const names: string[] = [];
  for (const [name, words] of Object.entries(pieces)) {
    const ranges = words.split(",").map((range) =>
      range
        .slice(2)
        .split("-")
        .map((hex) => parseInt(hex, 16)),
    );
    const rest = left.filter((at) => !ranges.some(([first, last]) => at >= first! && at <= (last ?? first!)));
    if (rest.length < left.length) names.push(name.replace(/[[\]]/g, ""));
    left = rest;
  }
  return { names, left };
}
