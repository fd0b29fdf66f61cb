import type { BoxMm } from "./clip.ts";
import { CAP_HEIGHT, type TextItem } from "./drawing.ts";
import type { Typeface } from "./typeface.ts";

/** Controls, line breaks, and the invisible characters that reorder or hide text. */
const UNPRINTABLE =
  /[\p{Cc}\p{Zl}\p{Zp}\u00AD\u061C\u200B-\u200F\u202A-\u202E\u2060-\u206F\uFEFF\uFFF9-\uFFFB]+/gu;

/** One printable line out of any text of a job: no controls, no invisible marks, single blanks, composed. */
export function oneLine(words: string): string {
  return words.toWellFormed().normalize("NFC").replace(UNPRINTABLE, " ").replace(/\s+/g, " ").trim();
}

/** "U+1F31F": how a character is written that cannot be drawn. */
export const codePointWords = (character: string): string =>
  `U+${character.codePointAt(0)!.toString(16).toUpperCase().padStart(4, "0")}`;

/** Invisible; they only ask for another look of the character before. */
const VARIATION_SELECTORS = /[\uFE00-\uFE0F]/g;

/** `oneLine`, with its code point in place of every character that the font lacks; those are added to `missing`. */
export function printable(words: string, typeface: Typeface, missing: Set<string>): string {
  let out = "";
  for (const character of oneLine(words).replace(VARIATION_SELECTORS, "")) {
    if (typeface.has(character.codePointAt(0)!)) out += character;
    else {
      missing.add(character);
      out += `${out === "" || out.endsWith(" ") ? "" : " "}${codePointWords(character)} `;
    }
  }
  return out.trim();
}

/** The longest beginning that fits the width, with an ellipsis where something had to go. */
export function fitted(
  words: string,
  widthMm: number,
  sizeMm: number,
  typeface: Typeface,
  bold = false,
): string {
  if (typeface.widthMm(words, sizeMm, bold) <= widthMm) return words;
  const characters = [...words];
  while (characters.length > 0) {
    characters.pop();
    const shortened = `${characters.join("").trimEnd()}\u2026`;
    if (typeface.widthMm(shortened, sizeMm, bold) <= widthMm) return shortened;
  }
  return "";
}

/** Words with the blank before them; East Asian text breaks after any of its characters. */
const BREAKABLE =
  / ?(?:[\u3041-\u9FFF\uF900-\uFAFF\uFF66-\uFF9D]|[^ \u3041-\u9FFF\uF900-\uFAFF\uFF66-\uFF9D]+)| /gu;

/**
 * Breaks words into lines that fit the width; one word too long for a line is cut. Of more lines than
 * `mostLines` the last one kept ends in an ellipsis.
 */
export function wrapped(
  words: string,
  widthMm: number,
  sizeMm: number,
  typeface: Typeface,
  { bold = false, mostLines = Infinity } = {},
): string[] {
  const lines: string[] = [];
  let current = "";
  for (const piece of words.match(BREAKABLE) ?? []) {
    const longer = current === "" ? piece.trimStart() : current + piece;
    if (typeface.widthMm(longer, sizeMm, bold) <= widthMm) current = longer;
    else {
      if (current !== "") lines.push(current);
      current = fitted(piece.trimStart(), widthMm, sizeMm, typeface, bold);
    }
  }
  if (current !== "") lines.push(current);
  if (lines.length <= mostLines) return lines;
  const rest = lines.slice(mostLines - 1).join(" ");
  return [...lines.slice(0, mostLines - 1), fitted(rest, widthMm, sizeMm, typeface, bold)];
}

const DEVICE_NAMES = /^(con|prn|aux|nul|com\d|lpt\d)$/i;

/** A file name (without ending) that is harmless on every system: letters, digits, `-`, `_`; never empty. */
export function safeFileName(words: string): string {
  const plain = oneLine(words)
    .normalize("NFKD")
    .replace(/\p{M}+/gu, "")
    .replace(/[^A-Za-z0-9_-]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 60);
  return plain === "" || DEVICE_NAMES.test(plain) ? `x${plain}` : plain;
}

/** Where a text stands, from its baseline to its capitals' heads; lying, or turned by a quarter. */
export function boxOfText(
  { at: [x, y], text, sizeMm, bold, align, turnDeg }: TextItem,
  typeface: Typeface,
): BoxMm {
  const width = typeface.widthMm(text, sizeMm, bold);
  const start = -width * { left: 0, centre: 0.5, right: 1 }[align];
  const high = sizeMm * CAP_HEIGHT;
  if (turnDeg === 0) return { x0: x + start, y0: y, x1: x + start + width, y1: y + high };
  return { x0: x - high, y0: y + start, x1: x, y1: y + start + width };
}
