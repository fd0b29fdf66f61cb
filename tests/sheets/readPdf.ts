import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** What mutool (MuPDF, not ours) finds on a page, in mm from the sheet's lower left corner. */
export interface ReadPage {
  widthMm: number;
  heightMm: number;
  /** Black filled circles. */
  dots: { x: number; y: number; diameterMm: number }[];
  /** Strokes by line weight (mm, two decimals); those of one `path` were painted together. */
  strokes: { weight: string; points: [number, number][]; path: number }[];
  texts: { words: string; x: number; y: number; sizeMm: number; mirrored: boolean }[];
  /** Extent of everything that is not white. */
  ink: { x0: number; y0: number; x1: number; y1: number };
}

/** Puts bytes in a file of a folder that is gone afterwards. */
export function withFile<T>(name: string, bytes: Uint8Array | string, use: (path: string) => T): T {
  const folder = mkdtempSync(join(tmpdir(), "velarium-sheets-"));
  try {
    const path = join(folder, name);
    writeFileSync(path, bytes);
    return use(path);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The scale bars of 150 or 300 mm: of the paths of 17 or 32 strokes, those whose other ones all begin on the first and stand square to it. */
export function barsOf(page: ReadPage): [number, number][][] {
  const byPath = new Map<number, [number, number][][]>();
  for (const { path, points } of page.strokes) byPath.set(path, [...(byPath.get(path) ?? []), points]);
  return [...byPath.values()]
    .filter((strokes) => strokes.length === 17 || strokes.length === 32)
    .filter(([line, ...ticks]) => {
      const [p, q] = line!;
      const along = p![0] === q![0] ? 1 : 0;
      const across = 1 - along;
      return ticks.every(([a, b]) => a![across] === p![across] && a![along] === b![along]);
    })
    .map((strokes) => strokes[0]!);
}

const MM_PER_POINT = 25.4 / 72;

/** Reads every page with `mutool draw -F trace`, which lists the operators after all transforms are known. */
export function readPdf(bytes: Uint8Array): ReadPage[] {
  const trace = withFile("sheets.pdf", bytes, (path) =>
    execFileSync("mutool", ["draw", "-q", "-F", "trace", "-o", "-", path], {
      maxBuffer: 2 ** 30,
      encoding: "utf8",
      stdio: ["ignore", "pipe", "ignore"],
    }),
  );
  return trace
    .split("<page ")
    .slice(1)
    .map((page) => readPage(page));
}

const numbers = (words: string): number[] => words.trim().split(/\s+/).map(Number);
const attribute = (tag: string, name: string): string =>
  new RegExp(` ${name}="([^"]*)"`).exec(tag)?.[1] ?? "";

function readPage(source: string): ReadPage {
  const [, , right, top] = numbers(/mediabox="([^"]*)"/.exec(source)![1]!);
  const page: ReadPage = {
    widthMm: right! * MM_PER_POINT,
    heightMm: top! * MM_PER_POINT,
    dots: [],
    strokes: [],
    texts: [],
    ink: { x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity },
  };
  let paths = 0;
  const see = (x: number, y: number) => {
    page.ink.x0 = Math.min(page.ink.x0, x);
    page.ink.y0 = Math.min(page.ink.y0, y);
    page.ink.x1 = Math.max(page.ink.x1, x);
    page.ink.y1 = Math.max(page.ink.y1, y);
  };
  for (const match of source.matchAll(/<(stroke_path|fill_path|fill_text)( [^>]*)>([\s\S]*?)<\/\1>/g)) {
    const [, kind, head, body] = match as unknown as [string, string, string, string];
    const [a, b, c, d, e, f] = numbers(attribute(head, "transform")) as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    // MuPDF's page has y down from the top edge.
    const place = (x: number, y: number): [number, number] => [
      (a * x + c * y + e) * MM_PER_POINT,
      page.heightMm - (b * x + d * y + f) * MM_PER_POINT,
    ];
    if (kind === "fill_text") {
      const letters = [...body.matchAll(/<g unicode="([^"]*)"[^>]* x="([^"]*)" y="([^"]*)" adv="([^"]*)"/g)];
      const [first] = letters;
      if (!first) continue;
      const trm = numbers(attribute(body, "trm"));
      const [x, y] = place(Number(first[2]), Number(first[3]));
      const words = letters.map(([, letter]) => unescape(letter!)).join("");
      const turned = trm.map(Number);
      const sizeMm =
        Math.sqrt(Math.abs((a * d - b * c) * (turned[0]! * turned[3]! - turned[1]! * turned[2]!))) *
        MM_PER_POINT;
      // Seen with y up, text is the right way round when its axes keep their handedness.
      const mirrored = -(a * d - b * c) * (turned[0]! * turned[3]! - turned[1]! * turned[2]!) < 0;
      page.texts.push({ words, x, y, sizeMm, mirrored });
      see(x, y);
      continue;
    }
    const points = [...body.matchAll(/<(moveto|lineto|curveto|closepath)([^>]*)>/g)].map(([, op, at]) => ({
      op: op!,
      at:
        op === "closepath"
          ? null
          : place(
              Number(attribute(at!, op === "curveto" ? "x3" : "x")),
              Number(attribute(at!, op === "curveto" ? "y3" : "y")),
            ),
    }));
    const colour = attribute(head, "color");
    if (colour !== "1 1 1") for (const { at } of points) if (at) see(...at);
    if (kind === "fill_path" && colour === "0 0 0" && points.some(({ op }) => op === "curveto")) {
      const on = points.flatMap(({ at }) => (at ? [at] : []));
      const xs = on.map(([x]) => x);
      const ys = on.map(([, y]) => y);
      page.dots.push({
        x: (Math.min(...xs) + Math.max(...xs)) / 2,
        y: (Math.min(...ys) + Math.max(...ys)) / 2,
        diameterMm: Math.max(...xs) - Math.min(...xs),
      });
    }
    if (kind === "stroke_path") {
      const weight = Number(attribute(head, "linewidth")).toFixed(2);
      let current: [number, number][] = [];
      const path = paths++;
      for (const { op, at } of points) {
        if (op === "moveto") {
          current = [];
          page.strokes.push({ weight, points: current, path });
        }
        if (at) current.push(at);
      }
    }
  }
  return page;
}

const unescape = (letter: string): string =>
  letter
    .replace(/&#x([0-9a-f]+);/gi, (_, hex: string) => String.fromCodePoint(parseInt(hex, 16)))
    .replace(/&lt;/g, "<")
    .replace(/&gt;/g, ">")
    .replace(/&quot;/g, '"')
    .replace(/&apos;/g, "'")
    .replace(/&amp;/g, "&");
