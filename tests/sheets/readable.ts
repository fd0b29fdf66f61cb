import { execFileSync } from "node:child_process";
import { withFile } from "./readPdf.ts";

const MM_PER_POINT = 25.4 / 72;
/** Nothing on paper is printed smaller; half a percent for rounding. */
const LEAST_POINTS = 7 * 0.995;
/** A box reaches from the font's ascent to its descent; letters leave so much of it white above and below. */
const WHITE = 0.17;
/** Of what is left, so much may touch: poppler's boxes are no closer. */
const TOUCH = 0.1;
const TOUCH_POINTS = 0.4;

interface Word {
  text: string;
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

interface PageOfWords {
  width: number;
  height: number;
  words: Word[];
}

const ENTITIES: Record<string, string> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'" };
const plain = (words: string): string =>
  words.replace(/&(\w+);/g, (all, name: string) => ENTITIES[name] ?? all);

/** Every word with its box, by poppler. */
function wordsOf(path: string): PageOfWords[] {
  const xml = execFileSync("pdftotext", ["-bbox", path, "-"], { encoding: "utf8", maxBuffer: 1e9 });
  return xml
    .split("<page ")
    .slice(1)
    .map((page) => {
      const [, width, height] = /width="([\d.]+)" height="([\d.]+)"/.exec(page)!;
      const found = page.matchAll(
        /<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<\/word>/g,
      );
      const words = [...found].map(([, x0, y0, x1, y1, text]) => ({
        text: plain(text!),
        x0: Number(x0),
        y0: Number(y0),
        x1: Number(x1),
        y1: Number(y1),
      }));
      return { width: Number(width), height: Number(height), words };
    });
}

/** Sizes of type in points and what is set in the smallest, by MuPDF, page by page. */
function smallestOf(path: string): { size: number; text: string }[] {
  const xml = execFileSync("mutool", ["draw", "-q", "-F", "stext", "-o", "-", path], {
    encoding: "utf8",
    maxBuffer: 1e9,
  });
  return xml
    .split("<page ")
    .slice(1)
    .map((page) => {
      let least = { size: Infinity, text: "" };
      for (const [, size, inside] of page.matchAll(/<font name="[^"]*" size="([\d.]+)">(.*?)<\/font>/gs))
        if (Number(size) < least.size)
          least = {
            size: Number(size),
            text: [...inside!.matchAll(/ c="([^"]*)"/g)].map((c) => c[1]).join(""),
          };
      return least;
    });
}

/** Where a word's letters are: a turned word stands on end. */
function inkOf({ text, x0, y0, x1, y1 }: Word): Word {
  const turned = text.length > 1 && y1 - y0 > (x1 - x0) * 1.2;
  const [dx, dy] = turned ? [(x1 - x0) * WHITE, 0] : [0, (y1 - y0) * WHITE];
  return { text, x0: x0 + dx, x1: x1 - dx, y0: y0 + dy, y1: y1 - dy };
}

/** Words over words. */
function overlaps({ words }: PageOfWords): string[] {
  const found: string[] = [];
  const sorted = words.map(inkOf).sort((a, b) => a.y0 - b.y0);
  sorted.forEach((a, i) => {
    for (let j = i + 1; j < sorted.length && sorted[j]!.y0 < a.y1; j++) {
      const b = sorted[j]!;
      const shared = [
        Math.min(a.x1, b.x1) - Math.max(a.x0, b.x0),
        Math.min(a.y1, b.y1) - Math.max(a.y0, b.y0),
      ];
      const smaller = Math.min(a.x1 - a.x0, b.x1 - b.x0, a.y1 - a.y0, b.y1 - b.y0);
      if (Math.min(...shared) > Math.max(TOUCH_POINTS, TOUCH * smaller))
        found.push(`"${a.text}" over "${b.text}" at ${at(a)}`);
    }
  });
  return found;
}

const at = ({ x0, y0 }: Word): string =>
  `${(x0 * MM_PER_POINT).toFixed(0)}, ${(y0 * MM_PER_POINT).toFixed(0)} mm`;

/** What somebody could not read on a PDF: words over words, cut, off the page, or under 7 points. */
export function unreadable(name: string, bytes: Uint8Array): string[] {
  return withFile(`${name.replace(/\W+/g, "-")}.pdf`, bytes, (path) => {
    const smallest = smallestOf(path);
    return wordsOf(path).flatMap((page, i) => {
      const where = `${name} p.${i + 1}:`;
      const cut = page.words
        .filter(({ text }) => text.includes("\u2026"))
        .map((word) => `cut "${word.text}" at ${at(word)}`);
      const off = page.words
        .filter(({ x0, x1, y0, y1 }) => x0 < 0 || y0 < 0 || x1 > page.width || y1 > page.height)
        .map((word) => `off the page "${word.text}"`);
      const { size, text } = smallest[i]!;
      const small = size < LEAST_POINTS ? [`${size} points "${text}"`] : [];
      return [...overlaps(page), ...cut, ...off, ...small].map((words) => `${where} ${words}`);
    });
  });
}
