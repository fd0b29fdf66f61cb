import bidiFactory from "bidi-js";
import type * as fontkit from "fontkit";
import type { Fonts, Weight } from "./typeface.ts";

/** A stretch of a text in one font and one direction. */
export interface Run {
  font: fontkit.Font;
  /** "regular" or "bold", or the place of a further font in the list. */
  key: Weight | number;
  /** In the order in which it is read; brackets are already those that stand there on paper. */
  text: string;
}

/** Whatever these are not needs a look: writing from the right, joined letters, or another font. */
const UNUSUAL = /[^\p{ASCII}\u0080-\u058F\u1E00-\u20CF\u2100-\u22FF\u2500-\u25FF\uFB00-\uFB06]/u;

/** Whether a text is one run of the main font from left to right. */
export const isPlain = (text: string): boolean => !UNUSUAL.test(text);

/** The characters of a text that are not plain, each once. */
export const unusual = (text: string): string[] => [...new Set(text.match(new RegExp(UNUSUAL, "gu")))];

/** A text as runs, the leftmost first; the page is read from the left, whatever begins the text (Unicode Standard Annex 9; fonts in the order in which they are given). */
export function runsOf(text: string, weight: Weight, fonts: Fonts): Run[] {
  if (isPlain(text)) return [{ font: fonts[weight], key: weight, text }];
  const bidi = bidiFactory();
  const { levels } = bidi.getEmbeddingLevels(text, "ltr");
  const mirrored = bidi.getMirroredCharactersMap(text, levels);
  const runs: (Run & { level: number })[] = [];
  let at = 0;
  for (const character of text) {
    const level = levels[at]!;
    const key = fontFor(character.codePointAt(0)!, weight, fonts);
    const font = typeof key === "number" ? fonts.further[key]! : fonts[key];
    const shown = mirrored.get(at) ?? character;
    const last = runs.at(-1);
    if (last?.level === level && last.key === key) last.text += shown;
    else runs.push({ font, key, text: shown, level });
    at += character.length;
  }
  for (const run of runs)
    if (run.level % 2 === 1 && !WRITTEN_FROM_RIGHT.test(run.text))
      run.text = [...run.text].reverse().join("");
  return inOrderOnPaper(runs);
}

/** The main font where it has the character, else the first further one. */
function fontFor(codePoint: number, weight: Weight, fonts: Fonts): Run["key"] {
  if (fonts[weight].hasGlyphForCodePoint(codePoint)) return weight;
  const further = fonts.further.findIndex((font) => font.hasGlyphForCodePoint(codePoint));
  return further < 0 ? weight : further;
}

/** fontkit turns letters that are written from the right; brackets, stops and blanks among them it leaves. */
const WRITTEN_FROM_RIGHT = /[\p{sc=Arabic}\p{sc=Hebrew}\p{sc=Syriac}\p{sc=Thaana}\p{sc=Nko}]/u;

/** Rule L2 over whole runs: from the highest level down to 1, what is at least so deep is turned round. */
function inOrderOnPaper(runs: (Run & { level: number })[]): Run[] {
  const highest = Math.max(...runs.map(({ level }) => level));
  for (let level = highest; level > 0; level--)
    for (let from = 0; from < runs.length; from++) {
      let to = from;
      while (to < runs.length && runs[to]!.level >= level) to++;
      if (to > from + 1) runs.splice(from, to - from, ...runs.slice(from, to).reverse());
      from = to;
    }
  return runs;
}

/** Width of a text in ems, letters joined as its script joins them. */
export const emWidthOf = (text: string, weight: Weight, fonts: Fonts): number =>
  runsOf(text, weight, fonts).reduce(
    (sum, { font, text: part }) => sum + font.layout(part, []).advanceWidth / font.unitsPerEm,
    0,
  );
