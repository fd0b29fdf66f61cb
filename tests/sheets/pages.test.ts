import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { PointMm } from "../../src/geometry/types.ts";
import { HOLE_PAD_MM, layPages, toSheet, type Page } from "../../src/sheets/pages.ts";
import { PAPERS, paperByName } from "../../src/sheets/papers.ts";
import { alongLine, placeLabels, type LabelWish, type PlacedLabel } from "../../src/drawing/labels.ts";
import { markStyles, reachMm } from "../../src/sheets/marks.ts";

/** A tile full of holes up to its keep-out of 17 mm, every 8 mm. */
function fullTile(width: number, height: number): PointMm[] {
  const points: PointMm[] = [];
  for (let x = 17; x <= width - 17; x += 8) for (let y = 17; y <= height - 17; y += 8) points.push([x, y]);
  points.push([width - 17, height - 17]);
  return points;
}

const EPSILON_MM = 1e-9;

function checkCover(pages: Page[], points: PointMm[]): void {
  const times = points.map(() => 0);
  for (const page of pages) {
    expect(page.points.length).toBeGreaterThan(0);
    for (const i of page.points) {
      times[i]!++;
      const [x, y] = toSheet(page, points[i]!);
      const { field, printable } = page;
      expect(x - field.x0).toBeGreaterThan(HOLE_PAD_MM - EPSILON_MM);
      expect(field.x1 - x).toBeGreaterThan(HOLE_PAD_MM - EPSILON_MM);
      expect(y - field.y0).toBeGreaterThan(HOLE_PAD_MM - EPSILON_MM);
      expect(field.y1 - y).toBeGreaterThan(HOLE_PAD_MM - EPSILON_MM);
      expect(field.x0).toBeGreaterThanOrEqual(printable.x0);
      expect(field.x1).toBeLessThanOrEqual(printable.x1);
      expect(field.y1).toBeLessThanOrEqual(printable.y1);
    }
  }
  expect(times.every((n) => n === 1)).toBe(true);
}

describe("pages of a tile", () => {
  // Worked out by hand for a regular grid of whole pages.
  it.each([
    ["A4", 12],
    ["Letter", 12],
    ["A3", 6],
    ["Tabloid", 6],
    ["A2", 4],
    ["ANSI C", 4],
    ["A1", 2],
    ["ANSI D", 2],
    ["ARCH D", 2],
    ["Roll 36 in", 1],
  ])("a full 603.25 mm tile on %s takes no more than the handbook's %i", (name, most) => {
    const points = fullTile(603.25, 603.25);
    const paper = paperByName(name);
    const pages = layPages(points, [603.25, 603.25], paper);
    checkCover(pages, points);
    expect(pages.length).toBeLessThanOrEqual(most);
    const inked = paper.widthMm * (paper.heightMm ?? Infinity);
    expect(pages.length).toBeGreaterThanOrEqual((569 * 569) / inked);
  });

  it("the 24 in roll takes a 24 in tile's punchable area on one length, though not its outline", () => {
    const points = fullTile(603.25, 603.25);
    const [page, ...more] = layPages(points, [603.25, 603.25], paperByName("Roll 24 in"));
    expect(more).toEqual([]);
    expect(page!.field.x1 - page!.field.x0).toBeLessThan(603.25);
  });

  it("marks every hole once, wholly on its page, for any tile, holes, paper and printer", () => {
    const size = fc.integer({ min: 60, max: 1300 });
    fc.assert(
      fc.property(
        size,
        size,
        fc.array(
          fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true })),
          {
            minLength: 1,
            maxLength: 60,
          },
        ),
        fc.constantFrom(...PAPERS),
        fc.double({ min: 0.85, max: 1.2, noNaN: true }),
        fc.double({ min: 0.85, max: 1.2, noNaN: true }),
        (width, height, shares, paper, x, y) => {
          const points = shares.map(([u, v]): PointMm => [
            Math.round((12 + u * (width - 24)) * 1000) / 1000,
            Math.round((12 + v * (height - 24)) * 1000) / 1000,
          ]);
          const pages = layPages(points, [width, height], paper, { short: x, long: y });
          checkCover(pages, points);
          for (const { sheet, scale } of pages) {
            const sides = [sheet.widthMm * scale.x, sheet.heightMm * scale.y];
            // On the sheet as it goes through the printer: the paper's own size, or as long as needed.
            if (paper.heightMm === null)
              expect(Math.min(...sides.map((s) => Math.abs(s - paper.widthMm)))).toBeLessThan(1e-6);
            else {
              sides.sort((a, b) => a - b);
              expect(sides[0]).toBeCloseTo(paper.widthMm, 6);
              expect(sides[1]).toBeCloseTo(paper.heightMm, 6);
            }
          }
        },
      ),
      { numRuns: 300, seed: 20310214 },
    );
  });

  it("leaves out pages without a hole", () => {
    const corners: PointMm[] = [
      [20, 20],
      [580, 20],
      [20, 580],
    ];
    expect(layPages(corners, [603, 603], paperByName("A4"))).toHaveLength(3);
    expect(layPages([], [603, 603], paperByName("A4"))).toEqual([]);
  });
});

describe("numbers beside marks", () => {
  it("never touch a mark, another number or the edge, at the density of a usual ceiling", () => {
    const point = fc.tuple(fc.integer({ min: 4, max: 186 }), fc.integer({ min: 4, max: 226 }));
    fc.assert(
      fc.property(fc.array(point, { minLength: 1, maxLength: 40 }), (points) => {
        const apart = points.filter((p, i) =>
          points.slice(0, i).every((q) => Math.hypot(p[0] - q[0], p[1] - q[1]) >= 8),
        );
        const wishes: LabelWish[] = apart.map((centre) => ({
          centre,
          reachMm: 2.3,
          widthMm: 3.4,
          heightMm: 1.9,
        }));
        const bounds = { x0: 0, y0: 0, x1: 190, y1: 230 };
        const boxes = placeLabels(wishes, [], bounds).map((label) => label.box);
        const touch = (a: typeof bounds, b: typeof bounds) =>
          a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
        boxes.forEach((box, i) => {
          expect(box.x0 >= 0 && box.y0 >= 0 && box.x1 <= 190 && box.y1 <= 230).toBe(true);
          for (const other of boxes.slice(0, i)) expect(touch(box, other)).toBe(false);
          for (const [x, y] of apart) {
            const mark = { x0: x - 2.3, y0: y - 2.3, x1: x + 2.3, y1: y + 2.3 };
            expect(touch(box, mark)).toBe(false);
          }
        });
      }),
      { numRuns: 200, seed: 7 },
    );
  });
});

describe("leaders and edges", () => {
  const bounds = { x0: 0, y0: 0, x1: 100, y1: 100 };
  const wish = (x: number, y: number): LabelWish => ({
    centre: [x, y],
    reachMm: 1,
    widthMm: 12,
    heightMm: 4,
  });

  it("no word stands on a line where there is room beside it", () => {
    const edge = alongLine([56, 0], [56, 100]);
    const [{ box }] = placeLabels([wish(50, 50)], edge, bounds) as [PlacedLabel];
    expect(box.x1 < 55.7 || box.x0 > 56.3).toBe(true);
  });

  it("no leader crosses a word where another way is free", () => {
    // close by, all is taken but where a word stands between; farther off, below, it is free
    const words = [
      { x0: 40, y0: 52, x1: 60, y1: 58 },
      { x0: 30, y0: 44, x1: 48.6, y1: 56 },
      { x0: 51.4, y0: 44, x1: 70, y1: 56 },
    ];
    const [{ box, leader }] = placeLabels([wish(50, 50)], words, bounds) as [PlacedLabel];
    expect(leader).not.toBeNull();
    expect(box.y1).toBeLessThan(49);
    const [[x0, y0], [x1, y1]] = leader!;
    for (let k = 0; k <= 1; k += 0.02) {
      const [x, y] = [x0 + (x1 - x0) * k, y0 + (y1 - y0) * k];
      for (const w of words) expect(x > w.x0 && x < w.x1 && y > w.y0 && y < w.y1).toBe(false);
    }
  });
});

describe("marks", () => {
  it("differ in shape or rings for every diameter, up to the twenty that a job may have", () => {
    const diameters = Array.from({ length: 20 }, (_, i) => 0.25 * (i + 1));
    const styles = markStyles(diameters, 8);
    const seen = new Set([...styles.values()].map(({ shape, rings }) => `${shape} ${rings}`));
    expect(seen.size).toBe(20);
  });

  it("of two holes at the smallest spacing do not touch", () => {
    for (const spacing of [2, 4, 8, 20])
      for (const style of markStyles([0.5, 0.75, 1, 1.5, 2, 3], spacing).values())
        expect(2 * reachMm(style)).toBeLessThan(spacing);
  });
});
