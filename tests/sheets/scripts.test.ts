import { execFileSync } from "node:child_process";
import { describe, expect, it } from "vitest";
import { loadBoardFonts, loadFonts } from "../../src/cli/fonts.ts";
import { outlined } from "../../src/drawing/outlined.ts";
import { openPdf } from "../../src/drawing/pdf.ts";
import { runsOf } from "../../src/drawing/runs.ts";
import { parseFonts, readTypeface, type FontBytes } from "../../src/drawing/typeface.ts";
import { printable, wrapped } from "../../src/drawing/words.ts";
import { text, type Drawing } from "../../src/drawing/drawing.ts";
import { makeSheets } from "../../src/sheets/files.ts";
import { fixturePlan } from "./fixture.ts";
import { withFile } from "./readPdf.ts";

const NAMES = {
  polish: "Łódź, Żabia Wola, Gęś",
  latvian: "Ķekava, Žvaigžņu iela",
  japanese: "星空の間ホテル",
  arabic: "فندق النجوم",
};
const everything = Object.values(NAMES).join(" ");

const drawingOf = (words: string): Drawing => ({
  title: "names",
  widthMm: 200,
  heightMm: 40,
  zeroMm: [0, 0],
  items: [text("TEXT", [10, 20], words, 5)],
});

/** What poppler reads on a page with these words; marks of direction left away. */
async function readBack(words: string, fonts: FontBytes): Promise<string> {
  const pdf = await openPdf({ title: "names", fonts });
  pdf.addPage(drawingOf(words));
  const bytes = await pdf.bytes();
  const read = withFile("names.pdf", bytes, (path) =>
    execFileSync("pdftotext", [path, "-"], { encoding: "utf8" }),
  );
  return read.replace(/[\u200e\u200f\u202a-\u202e\f\n]/g, "").normalize("NFKC");
}

describe("names in other scripts", async () => {
  const fonts = await loadFonts(everything);

  it.each(Object.entries(NAMES))(
    "%s is printed in a font that has it, and poppler reads it back",
    async (_, name) => {
      const missing = new Set<string>();
      expect(printable(name, readTypeface(fonts), missing)).toBe(name);
      expect(missing.size).toBe(0);
      expect(await readBack(name, fonts)).toBe(name);
    },
  );

  it("no further font is loaded for what the main ones have", async () => {
    expect((await loadFonts(`${NAMES.polish} ${NAMES.latvian} ${NAMES.arabic}`)).further).toBeUndefined();
    expect(fonts.further!.length).toBeGreaterThan(0);
  });

  it("boards too", async () => {
    const typeface = readTypeface(await loadBoardFonts(everything));
    for (const name of Object.values(NAMES)) expect(printable(name, typeface, new Set())).toBe(name);
  });

  /**
   * Joining types of Unicode's ArabicShaping.txt: SEEN and MEEM join on both sides, ALEF on its right, HAMZA on none.
   * So سماء is initial seen, medial meem, final alef, isolated hamza: presentation forms FEB3, FEE4, FE8E, FE80 or 0621.
   */
  it("Arabic letters are joined and run from the right", () => {
    const [run] = runsOf("سماء", "regular", parseFonts(fonts));
    const { glyphs } = run!.font.layout(run!.text, []);
    const names = glyphs.map((glyph) => (glyph as unknown as { name: string }).name);
    expect(names).toEqual(["uni0621", "uniFE8E", "uniFEE4", "uniFEB3"]);
  });

  /**
   * Unicode Standard Annex 9, worked by hand for a line read from the left: rule N0 gives brackets round Latin to the
   * line, N1 gives a dash between Arabic words to them, L2 turns what runs from the right.
   */
  it.each([
    ["Tile: فندق (B4)", ["Tile: ", "فندق", " (B4)"]],
    ["ا (B4) ب.", ["ا", " (B4) ", "ب", "."]],
    ["ا 12 ب", ["ب", "12", "ا"]],
  ])("%s is laid out as its reader expects", (line, expected) => {
    const runs = runsOf(line, "regular", parseFonts(fonts));
    const trimmed = (parts: string[]) =>
      parts.map((part) => part.replace(/[\u0600-\u06ff].*|.*[\u0600-\u06ff]/u, (p) => p.trim()));
    expect(trimmed(runs.map(({ text: part }) => part))).toEqual(expected);
  });

  it("the picture of a page has the same widths as the page", () => {
    const typeface = readTypeface(fonts);
    for (const name of Object.values(NAMES)) {
      const [item] = outlined(drawingOf(name), fonts).items;
      const xs = item!.kind === "path" ? item!.rings.flat().map(([x]) => x) : [];
      const width = Math.max(...xs) - Math.min(...xs);
      expect(Math.abs(width - typeface.widthMm(name, 5)), name).toBeLessThan(2);
    }
  });

  it("Japanese is broken between its characters, never cut", () => {
    const typeface = readTypeface(fonts);
    const lines = wrapped("星空の間 Harbour 星空の天井", 20, 4, typeface);
    expect(lines.length).toBeGreaterThan(1);
    expect(lines.join("").replace(/ /g, "")).toBe("星空の間Harbour星空の天井");
    for (const line of lines) expect(typeface.widthMm(line, 4)).toBeLessThanOrEqual(20);
  });

  it("what no font has is written as its code point, and told", async () => {
    const plan = fixturePlan({ perTile: 3, change: (job) => void (job.title = "한 ⭐️ 星") });
    const told: string[] = [];
    const own = await loadFonts(JSON.stringify(plan.job));
    await makeSheets(plan, { fonts: own, sides: ["back"], onWarning: ({ message }) => told.push(message) });
    expect(told).toEqual(["The font lacks 1 character, printed as its code point: U+D55C."]);
  });
});
