import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import type { Side } from "../../src/ceiling/flip.ts";
import { checkJob } from "../../src/check.ts";
import { NODE } from "../../src/cli/work.ts";
import { readTypeface } from "../../src/drawing/typeface.ts";
import { sheetContext, tilesWithHoles } from "../../src/sheets/context.ts";
import { crossesOf } from "../../src/sheets/field.ts";
import { makeSheets } from "../../src/sheets/files.ts";
import { countSheets, layTile, printingOf } from "../../src/sheets/laid.ts";
import { paperByName } from "../../src/sheets/papers.ts";
import { streamPlan } from "../../src/sheets/planFiles.ts";
import { viewOf } from "../../src/sheets/view.ts";
import { choose, planned } from "../../src/work/stage.ts";
import { Work } from "../../src/work/work.ts";
import { fixturePlan, fonts } from "./fixture.ts";
import { barsOf, readPdf, withFile } from "./readPdf.ts";
import { pdfOf, understand, worstMatch, type Understood } from "./understand.ts";

/** DEVELOPERS.md, "Numbers to hold": hole on the printed page against holes.csv. */
const HOLE_TOLERANCE_MM = 0.05;

describe.each(["A4", "ANSI D", "Roll 24 in"])("the printed pack on %s, read by mutool", (paper) => {
  const plan = fixturePlan({ perTile: 24 });
  const pages: Record<Side, Understood[]> = { back: [], face: [] };

  beforeAll(async () => {
    const files = await makeSheets(plan, { fonts, paper, sides: ["back", "face"], face: "full" });
    for (const side of ["back", "face"] as const)
      pages[side] = readPdf(pdfOf(files, side)).map((page) => understand(page, side));
  });

  it.each(["back", "face"] as const)(
    "%s: every hole is marked once, within 0.05 mm, at its diameter",
    (side) => {
      const { worst, matched } = worstMatch(plan, pages[side]);
      expect(matched).toBe(plan.pattern.holes.length);
      expect(worst).toBeLessThan(HOLE_TOLERANCE_MM);
    },
  );

  it("no page is without a hole, and as many are printed as were counted beforehand", () => {
    for (const side of ["back", "face"] as const) {
      for (const { holes, tile } of pages[side]) expect(holes.length, tile).toBeGreaterThan(0);
      expect(pages[side]).toHaveLength(countSheets(plan, printingOf(plan.job, { paper })).sheets);
    }
  });

  it("both bars of every page are 150 mm between their end ticks, or 300 mm where the sheet is long enough", () => {
    for (const { page } of [...pages.back, ...pages.face]) {
      const spans = barsOf(page).map(([p, q]) => [Math.abs(q![0] - p![0]), Math.abs(q![1] - p![1])] as const);
      const lying = spans.filter(([, dy]) => dy < 1e-6);
      const standing = spans.filter(([dx]) => dx < 1e-6);
      expect(lying).toHaveLength(1);
      expect(standing).toHaveLength(1);
      const long = (roomMm: number) => (roomMm > 400 ? 300 : 150);
      expect(lying[0]![0]).toBeCloseTo(long(page.widthMm), 3);
      expect(standing[0]![1]).toBeCloseTo(long(page.heightMm - 45), 3);
    }
  });

  it("a heavy bracket lies on every corner of the tile that is on the page, to 0.05 mm", () => {
    let seen = 0;
    for (const side of ["back", "face"] as const)
      for (const { tile, page, fromDatum, frame } of pages[side]) {
        const { box, outline } = plan.ceiling.tiles.find((t) => t.name === tile)!;
        const ends = page.strokes.filter((s) => s.weight === "0.50").flatMap((s) => s.points);
        const places = ends.map(([x, y]) => fromDatum(x, y));
        const [a, b] = [fromDatum(frame.x0, frame.y0), fromDatum(frame.x1, frame.y1)];
        for (const corner of outline.flat()) {
          const [x, y] = [(corner.x - box.minX) / 1000, (corner.y - box.minY) / 1000];
          const inX = x > Math.min(a[0], b[0]) + 0.1 && x < Math.max(a[0], b[0]) - 0.1;
          if (!inX || y < a[1] + 0.1 || y > b[1] - 0.1) continue;
          seen++;
          const off = Math.min(...places.map(([px, py]) => Math.hypot(px - x, py - y)));
          expect(off, `${tile} ${side}`).toBeLessThan(HOLE_TOLERANCE_MM);
        }
      }
    expect(seen).toBeGreaterThan(30);
  });

  it("every page can be placed by itself: all of the tile's corners, or crosses at round distances from its edges", () => {
    for (const side of ["back", "face"] as const)
      for (const { page, tile, fromDatum, frame } of pages[side]) {
        const { box } = plan.ceiling.tiles.find((t) => t.name === tile)!;
        const size = [(box.maxX - box.minX) / 1000, (box.maxY - box.minY) / 1000] as const;
        const [a, b] = [fromDatum(frame.x0, frame.y0), fromDatum(frame.x1, frame.y1)];
        const [left, right] = [Math.min(a[0], b[0]), Math.max(a[0], b[0])];
        if (left <= 0 && right >= size[0] && a[1] <= 0 && b[1] >= size[1]) continue;
        // two strokes that halve one another, with the distances beside them
        const strokes = page.strokes.filter((s) => s.weight === "0.25" && s.points.length === 2);
        const middles = strokes.map(
          ({ points: [p, q] }) => [(p![0] + q![0]) / 2, (p![1] + q![1]) / 2] as const,
        );
        const crosses = page.texts.flatMap(({ words, x, y }) => {
          const named = /^(\d+), (\d+)$/.exec(words);
          if (!named) return [];
          const place = [Number(named[1]), Number(named[2])] as const;
          const drawn = middles.filter((m) => {
            const [u, v] = fromDatum(m[0], m[1]);
            return Math.hypot(u - place[0], v - place[1]) < HOLE_TOLERANCE_MM;
          });
          expect(drawn.length, `${tile} ${words}`).toBeGreaterThanOrEqual(1);
          expect(Math.hypot(drawn[0]![0] - x, drawn[0]![1] - y)).toBeLessThan(20);
          return [place];
        });
        const apart = Math.max(
          0,
          ...crosses.flatMap((p) => crosses.map((q) => Math.hypot(p[0] - q[0], p[1] - q[1]))),
        );
        const edges = [left <= 0 || right >= size[0], a[1] <= 0 || b[1] >= size[1]];
        expect(apart >= 100 - 1e-9 || edges.every(Boolean), `${tile}, ${crosses.length} crosses`).toBe(true);
      }
  });

  it("nothing is printed in the margins", () => {
    const { sides, ends } = paperByName(paper).marginMm;
    for (const { page } of [...pages.back, ...pages.face]) {
      // Upright sheets have their ends above and below, turned ones left and right.
      const upright = page.heightMm > page.widthMm || paperByName(paper).heightMm === null;
      const [mx, my] = upright ? [sides, ends] : [ends, sides];
      expect(page.ink.x0).toBeGreaterThan(mx - 1);
      expect(page.ink.x1).toBeLessThan(page.widthMm - mx + 0.01);
      expect(page.ink.y0).toBeGreaterThan(my - 0.01);
      expect(page.ink.y1).toBeLessThan(page.heightMm - my + 0.01);
    }
  });

  it("text is never mirrored, the pattern is: BACK reads like the plan, FACE the other way round", () => {
    const area = (points: { x: number; y: number }[]) =>
      points.reduce((sum, p, i) => {
        const q = points[(i + 1) % points.length]!;
        return sum + p.x * q.y - q.x * p.y;
      }, 0) / 2;
    for (const side of ["back", "face"] as const)
      for (const { page, holes, tile } of pages[side]) {
        expect(page.texts.every((t) => !t.mirrored)).toBe(true);
        expect(page.texts.map((t) => t.words)).toContain(side === "back" ? "BACK" : "FACE");
        expect(page.texts.map((t) => t.words)).toContain("R");
        expect(page.texts.map((t) => t.words)).toContain(
          side === "back" ? "read from above" : "read from below",
        );
        const real = plan.pattern.holes.filter((h) => h.tile === tile);
        const onSheet = page.dots.slice(0, 3);
        if (holes.length < 3) continue;
        const onPlan = holes.slice(0, 3).map((mark) => {
          const hole = real.find((h) => Math.hypot(h.tileXMm - mark.x, h.tileYMm - mark.y) < 0.1)!;
          return { x: hole.xMm, y: hole.yMm };
        });
        expect(area(onSheet) * area(onPlan) * (side === "back" ? 1 : -1), tile).toBeGreaterThan(0);
      }
  });

  it("numbers each hole as the table does", () => {
    for (const { page, tile, holes } of pages.back) {
      const words = new Set(page.texts.map((t) => t.words));
      for (const mark of holes) {
        const hole = plan.pattern.holes.find(
          (h) => h.tile === tile && Math.hypot(h.tileXMm - mark.x, h.tileYMm - mark.y) < 0.1,
        )!;
        const label = hole.kind === "filler" ? `${hole.numberInTile}f` : String(hole.numberInTile);
        expect(words.has(label), `${tile} ${label}`).toBe(true);
        // The fixture's groups are three strands of 1.5 mm, in a hole of 2.1547 times that (Kravitz 1967).
        const group = hole.strands > 1 ? "3× in 3.3 mm" : "";
        const small = [hole.name, group].filter(Boolean).join(", ");
        if (small) expect(words.has(small), `${tile} ${label}`).toBe(true);
      }
    }
  });
});

describe("the file", () => {
  const plan = fixturePlan({ perTile: 6 });

  it("is the same, byte for byte, every time", async () => {
    const [first, second] = await Promise.all(
      [1, 2].map(() => makeSheets(fixturePlan({ perTile: 6 }), { fonts })),
    );
    expect(second!.map((f) => f.path)).toEqual(first!.map((f) => f.path));
    first!.forEach((file, i) => expect(Buffer.compare(file.bytes, second![i]!.bytes), file.path).toBe(0));
  });

  it("asks the viewer for actual size, embeds its fonts and is sound for mutool and poppler", async () => {
    const files = await makeSheets(plan, { fonts, tiles: ["C4"] });
    withFile("a.pdf", pdfOf(files, "back"), (path) => {
      expect(
        execFileSync("mutool", ["show", path, "trailer/Root/ViewerPreferences"], { encoding: "utf8" }),
      ).toContain("/PrintScaling /None");
      const list = execFileSync("pdffonts", [path], { encoding: "utf8" }).trim().split("\n").slice(2);
      expect(list.length).toBe(2);
      for (const row of list)
        expect(row).toMatch(/DejaVuSans(-Bold)?\s+CID TrueType\s+Identity-H\s+yes yes yes/);
      expect(execFileSync("pdftotext", [path, "-"], { encoding: "utf8" })).toContain("Łódź");
      // what a screen reader asks for: title, language, a structure with a section a page
      const told = execFileSync("pdfinfo", [path], { encoding: "utf8" });
      expect(told).toMatch(/^Title: +\S/m);
      expect(told).toMatch(/^Tagged: +yes/m);
      const pages = Number(/^Pages: +(\d+)/m.exec(told)![1]);
      const root = execFileSync("mutool", ["show", path, "trailer/Root"], { encoding: "utf8" });
      expect(root).toContain("/Lang (en)");
      const tree = execFileSync("pdfinfo", ["-struct-text", path], { encoding: "utf8" });
      expect(tree.match(/^\s*Sect\b/gm)).toHaveLength(pages);
      expect(tree).toContain("Łódź");
    });
  });

  it("printed at 600 dpi, the bars measure 150 mm to one pixel", async () => {
    const files = await makeSheets(plan, { fonts, paper: "A4", tiles: ["C4"], sides: ["back"] });
    const bytes = pdfOf(files, "back");
    const [page] = readPdf(bytes);
    const bars = barsOf(page!);
    const lying = bars.find(([p, q]) => p![1] === q![1])!;
    const standing = bars.find(([p, q]) => p![0] === q![0])!;
    withFile("a.pdf", bytes, (path) => {
      execFileSync("pdftoppm", ["-r", "600", "-gray", "-singlefile", path, path]);
      const image = readPgm(readFileSync(`${path}.pgm`));
      const pixel = (mm: number) => (mm / 25.4) * 600;
      const [lx, ly] = lying[0]!;
      // 3.6 mm above the bar only its end ticks are left.
      const row = Math.round(pixel(page!.heightMm - ly - 3.75));
      const across = runs(
        image,
        (i) => row * image.width + i,
        Math.round(pixel(lx - 0.4)),
        Math.round(pixel(lx + 150.4)),
      );
      const [sx, sy] = standing.reduce((a, b) => (a[1] < b[1] ? a : b));
      const column = Math.round(pixel(sx - 3.75));
      const down = runs(
        image,
        (i) => i * image.width + column,
        Math.round(pixel(page!.heightMm - sy - 150.4)),
        Math.round(pixel(page!.heightMm - sy + 0.4)),
      );
      for (const found of [across, down]) {
        const length = found.at(-1)! - found[0]!;
        expect(Math.abs(length - pixel(150))).toBeLessThanOrEqual(1);
      }
    });
  });

  it("is stretched for a printer that was measured, by its feed: upright and turned pages alike", async () => {
    const measured = { name: "plotter", barXMm: 149.4, barYMm: 150.6 };
    const crooked = fixturePlan({
      perTile: 20,
      change: (job) => (job.sheets = { paper: "A4", sides: ["back"], printer: measured }),
    });
    const pages = readPdf(pdfOf(await makeSheets(crooked, { fonts }), "back"));
    expect(new Set(pages.map((page) => page.heightMm > page.widthMm)).size).toBe(2);
    for (const page of pages) {
      const sides = [page.widthMm, page.heightMm].sort((a, b) => a - b);
      expect(sides[0]).toBeCloseTo(210, 3);
      expect(sides[1]).toBeCloseTo(297, 3);
      // A turned page is fed with its width along the paper's long side: what the printer then makes of it.
      const turned = page.widthMm > page.heightMm;
      const [inX, inY] = turned ? [measured.barYMm, measured.barXMm] : [measured.barXMm, measured.barYMm];
      const bars = barsOf(page);
      const dx = Math.max(...bars.map(([p, q]) => Math.abs(q![0] - p![0])));
      const dy = Math.max(...bars.map(([p, q]) => Math.abs(q![1] - p![1])));
      expect((dx * inX) / 150).toBeCloseTo(150, 3);
      expect((dy * inY) / 150).toBeCloseTo(150, 3);
      const words = page.texts.map((t) => t.words);
      expect(words).toContain("corrected for plotter:");
      expect(words).toContain("short side \u00D71.0040, long \u00D70.9960");
      expect(page.ink.x0).toBeGreaterThan(5);
      expect(page.ink.y0).toBeGreaterThan(5.99);
      expect(page.ink.x1).toBeLessThan(page.widthMm - 5.99);
      expect(page.ink.y1).toBeLessThan(page.heightMm - 5.99);
    }
  });

  it("tells how far it is after each tile and stops when asked", async () => {
    const told: [number, number][] = [];
    await makeSheets(plan, {
      fonts,
      sides: ["back"],
      tiles: ["C3", "C4"],
      onProgress: (n, of) => void told.push([n, of]),
    });
    expect(told).toEqual([
      [1, 2],
      [2, 2],
    ]);
    const stop = new AbortController();
    const work = makeSheets(plan, { fonts, signal: stop.signal, onProgress: () => stop.abort() });
    await expect(work).rejects.toMatchObject({ name: "AbortError" });
  });

  it("is handed on before the next tile is drawn: a hall is never in memory whole", async () => {
    let drawn = 0;
    const drawnBefore: number[] = [];
    const options = { fonts, tiles: ["C3", "C4", "D4"], sides: ["back" as const] };
    const files = await streamPlan(plan, { ...options, onProgress: (n) => void (drawn = n) });
    for await (const { path } of files) if (path.startsWith("sheets/svg/")) drawnBefore.push(drawn);
    expect(drawnBefore).toEqual([0, 1, 2]);
  });
});

interface Pgm {
  width: number;
  grey: Uint8Array;
}

function readPgm(bytes: Buffer): Pgm {
  const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(bytes.subarray(0, 60).toString("latin1"))!;
  return { width: Number(head[1]), grey: bytes.subarray(head[0].length) };
}

/** Middles of the dark runs along a line of pixels. */
function runs({ grey }: Pgm, index: (i: number) => number, from: number, to: number): number[] {
  const middles: number[] = [];
  let start = -1;
  for (let i = from; i <= to; i++) {
    const dark = grey[index(i)]! < 128;
    if (dark && start < 0) start = i;
    if (!dark && start >= 0) {
      middles.push((start + i - 1) / 2);
      start = -1;
    }
  }
  return middles;
}

describe.each(["Letter", "A4"])("the demo, in feet, on %s", (paper) => {
  it("has on every page a cross, or the tile's edges in both directions", async () => {
    const { job } = checkJob(readFileSync("demo/harbour-dining-room.velarium.json"));
    const plan = planned(await new Work(NODE, 4).upTo(choose(job), "holes"));
    const context = sheetContext(plan, readTypeface(fonts), () => "");
    let seen = 0;
    for (const part of tilesWithHoles(plan)) {
      const { pages } = layTile(part, "back", printingOf(job, { paper }));
      const view = viewOf(part.tile, "back");
      for (const page of pages) {
        seen++;
        const [u, v] = page.corner;
        const [right, top] = [u + page.field.x1 - page.field.x0, v + page.field.y1 - page.field.y0];
        const edges = (u <= 0 || right >= view.widthMm) && (v <= 0 || top >= view.heightMm);
        const crosses = crossesOf(context, view, page).length;
        expect(edges || crosses > 0, `${part.tile.name}, ${crosses} crosses`).toBe(true);
      }
    }
    expect(seen).toBeGreaterThan(300);
  });
});

it("a cross at a far edge is named by the edge, no rounded distance", async () => {
  const { job } = checkJob(readFileSync("demo/harbour-dining-room.velarium.json"));
  const plan = planned(await new Work(NODE, 4).upTo(choose(job), "holes"));
  const files = await makeSheets(plan, { fonts, paper: "Letter", tiles: ["A2"], sides: ["back"] });
  const words = readPdf(pdfOf(files, "back"))[0]!.texts.map((text) => text.words);
  expect(words).toContain('4", edge');
  expect(words).not.toContain('4", 20"');
});
