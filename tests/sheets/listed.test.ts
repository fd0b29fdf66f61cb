import { describe, expect, it } from "vitest";
import { makeSheets, type OutFile } from "../../src/sheets/files.ts";
import { sheetContext } from "../../src/sheets/context.ts";
import { drawNotes } from "../../src/sheets/notes.ts";
import { paperByName } from "../../src/sheets/papers.ts";
import { readTypeface } from "../../src/drawing/typeface.ts";
import { ruled } from "../../src/sheets/coordinates.ts";
import { fixturePlan, fonts } from "./fixture.ts";
import { readPdf, type ReadPage } from "./readPdf.ts";
import { understand } from "./understand.ts";

const pagesIn = (files: OutFile[], name: string): ReadPage[] => {
  const file = files.find(({ path }) => path === `sheets/${name}.pdf`);
  return file ? readPdf(file.bytes) : [];
};

/** Lines of the list as a person reads them: tile of the last heading, then number, x and y in mm. */
function linesOf(pages: ReadPage[]): { tile: string; number: number; x: number; y: number }[] {
  const words = pages.flatMap(({ texts }) => texts.map((text) => text.words));
  let tile = "";
  return words.flatMap((word, i) => {
    tile = /^Tile (\S+): \d+ hole/.exec(word)?.[1] ?? tile;
    const place = [words[i + 1], words[i + 2]].map((w) => /^(\d+\.\d) mm$/.exec(w ?? "")?.[1]);
    if (!/^\d+$/.test(word) || !place[0] || !place[1]) return [];
    return [{ tile, number: Number(word), x: Number(place[0]), y: Number(place[1]) }];
  });
}

describe("the coordinate list, read by mutool", () => {
  const plan = fixturePlan({ perTile: 14 });
  const { holes } = plan.pattern;

  it("every hole is on one sheet or on one line, to the tenth of a millimetre; nothing is in both", async () => {
    const files = await makeSheets(plan, {
      fonts,
      paper: "A4",
      sides: ["back"],
      listFew: true,
      listed: ["B2"],
    });
    const lines = linesOf(pagesIn(files, "coordinates"));
    const onSheets = pagesIn(files, "templates-back").map((page) => understand(page, "back"));
    expect(onSheets.every(({ holes: own }) => own.length > 3)).toBe(true);
    expect(onSheets.some(({ tile }) => tile === "B2")).toBe(false);
    const all = [
      ...lines.map(({ tile, x, y }) => ({ tile, x, y, within: 0.051 })),
      ...onSheets.flatMap(({ tile, holes: own }) => own.map(({ x, y }) => ({ tile, x, y, within: 0.05 }))),
    ];
    expect(all).toHaveLength(holes.length);
    for (const hole of holes) {
      const found = all.filter(
        ({ tile, x, y, within }) =>
          tile === hole.tile && Math.abs(x - hole.tileXMm) <= within && Math.abs(y - hole.tileYMm) <= within,
      );
      expect(found, `${hole.tile} ${hole.numberInTile}`).toHaveLength(1);
    }
    for (const { tile, number, x } of lines) {
      const hole = holes.find((h) => h.tile === tile && h.numberInTile === number)!;
      expect(Math.abs(hole.tileXMm - x)).toBeLessThanOrEqual(0.051);
    }
    expect(lines.length).toBeGreaterThan(14);
  });

  it("without being asked for, nothing is listed", async () => {
    const files = await makeSheets(plan, { fonts, paper: "A4", sides: ["back"] });
    expect(files.some(({ path }) => path === "sheets/coordinates.pdf")).toBe(false);
  });

  it("feet and inches: within 1/128 in of the place, as a rule in 64ths is read", () => {
    const feet = { ...plan, job: { ...plan.job, units: "ft-in" as const } };
    for (const mm of [0, 0.4, 20.6, 25.4, 123.456, 608.9]) {
      const read = /^(?:(\d+)(?: |"))?(?:(\d+)\/(\d+)")?$/.exec(ruled({ plan: feet }, mm))!;
      const inches = Number(read[1] ?? 0) + (read[2] ? Number(read[2]) / Number(read[3]) : 0);
      expect(Math.abs(inches - mm / 25.4), String(mm)).toBeLessThanOrEqual(1 / 128 + 1e-12);
    }
    // the bars of 150 mm, 5.9055 in: within their tolerance of 0.3 mm, which a sixteenth is not
    expect(drawNotes(sheetContext(feet, readTypeface(fonts)), paperByName("Letter")).flatMap(({ items }) => items).some((item) => item.kind === "text" && item.text.includes('150 mm (5 29/32")'))).toBe(true); // prettier-ignore
  });
});

describe.each(["A4", "Roll 24 in"])("check sheets for %s", (paper) => {
  it("one sheet a tile with every hole at the scale it says, as seen from below; no bar to take it for a template", async () => {
    const plan = fixturePlan({ perTile: 14 });
    const files = await makeSheets(plan, { fonts, paper, sides: ["face"] });
    expect(files.some(({ path }) => path.includes("templates"))).toBe(false);
    const pages = pagesIn(files, "check-face");
    const tiles = [...new Set(plan.pattern.holes.map((hole) => hole.tile))];
    expect(pages).toHaveLength(tiles.length);
    pages.forEach((page, i) => {
      const own = plan.pattern.holes.filter((hole) => hole.tile === tiles[i]);
      const words = page.texts.map((text) => text.words);
      const scale = Number(/CHECK SHEET, 1 : ([\d.]+): not for punching/.exec(words.join("\n"))![1]);
      expect(scale).toBeGreaterThanOrEqual(2);
      expect(words.some((word) => word.startsWith("150 mm"))).toBe(false);
      expect(Math.max(page.widthMm, page.heightMm)).toBeLessThan(300);
      // places from the datum's ring, lower right on the face
      const { tile, dots, datum } = { ...understand(page, "face"), dots: page.dots, datum: datumOf(page) };
      expect(tile).toBe(tiles[i]);
      for (const hole of own) {
        const at = [datum[0] - hole.tileXMm / scale, datum[1] + hole.tileYMm / scale] as const;
        const off = Math.min(...dots.map(({ x, y }) => Math.hypot(x - at[0], y - at[1])));
        expect(off, `${tile} ${hole.numberInTile}`).toBeLessThan(0.05);
      }
    });
  });
});

/** The ring of 1.6 mm about the datum corner. */
function datumOf(page: ReadPage): [number, number] {
  const rings = page.strokes.filter(({ points }) => {
    const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
    const [w, h] = [xs, ys].map((v) => Math.max(...v) - Math.min(...v));
    return Math.abs(w! - 3.2) < 0.01 && Math.abs(h! - 3.2) < 0.01;
  });
  const [points] = rings.map((ring) => ring.points);
  const middle = (values: number[]) => (Math.min(...values) + Math.max(...values)) / 2;
  return [middle(points!.map(([x]) => x)), middle(points!.map(([, y]) => y))];
}
