import { describe, expect, test } from "vitest";
import { Board } from "../../src/pattern/board.ts";
import { fillCorners } from "../../src/pattern/fillCorners.ts";
import { makePattern } from "../../src/pattern/pattern.ts";
import { seededRandom } from "../../src/pattern/random.ts";
import { Room } from "../../src/pattern/room.ts";
import type { Hole } from "../../src/pattern/types.ts";
import { expectSpaced } from "./rules.ts";
import { rectangle, settingInput, settle, type Setting } from "./synthetic.ts";

/** One large sheet, so that edges matter little. */
const hall: Setting["ceiling"] = {
  outlineMm: rectangle(3000, 3000),
  grid: { moduleMm: [3000, 3000], originMm: [0, 0] },
};
const filled = (count: number, pattern: Setting["pattern"] = {}, milkyWay?: Setting["milkyWay"]) =>
  settle({ stars: [], ceiling: hall, strands: { stock: [{ diameterMm: 0.75, count }] }, pattern: { milkyWay: 0, ...pattern }, ...(milkyWay ? { milkyWay } : {}) }); // prettier-ignore

const nearest = (holes: Hole[], h: Hole) =>
  holes.reduce(
    (least, o) => (o === h ? least : Math.min(least, Math.hypot(o.xMm - h.xMm, o.yMm - h.yMm))),
    Infinity,
  );

describe("invented points", () => {
  test("are as many as wanted, marked as such, and keep the smallest distance", () => {
    const { holes, shortfall } = filled(1500);
    expect([holes.length, shortfall]).toEqual([1500, ""]);
    expect(holes.every((h) => h.kind === "filler" && h.star === null && h.trueXMm === null && h.magnitude === null)).toBe(true); // prettier-ignore
    expectSpaced(holes, 8);
  });

  test("lie as chance has it (Clark & Evans, Ecology 35, 1954: the mean distance to the nearest neighbour is R times 0.5 per root density, R = 1 by chance, 2.149 for a triangular grid)", () => {
    const ratios = [1, 2, 3, 4].map((seed) => {
      const { holes } = filled(1500, { seed });
      const inner = holes.filter((h) => Math.min(h.xMm, h.yMm) > 200 && Math.max(h.xMm, h.yMm) < 2800);
      const mean = inner.reduce((sum, h) => sum + nearest(holes, h), 0) / inner.length;
      return mean / (0.5 / Math.sqrt(1500 / (2950 * 2950)));
    });
    const r = ratios.reduce((sum, v) => sum + v, 0) / ratios.length;
    // Their standard error is 0.26 / sqrt(n density), 0.007 here; the smallest distance of 8 mm adds 0.03.
    expect(r).toBeGreaterThan(0.98);
    expect(r).toBeLessThan(1.08);
  });

  test("has no lattice peak: power at every wave vector stays that of a random field", () => {
    const { holes } = filled(1500);
    // Structure factor S(k) = |sum exp(-i k.x)|^2 / N; a lattice of N points reaches N, chance about 1.
    const spacing = Math.sqrt((2950 * 2950) / 1500);
    let peak = 0;
    for (let kx = -12; kx <= 12; kx++)
      for (let ky = 0; ky <= 12; ky++) {
        if (kx * kx + ky * ky < 9) continue;
        const [wx, wy] = [(kx * 2 * Math.PI) / (6 * spacing), (ky * 2 * Math.PI) / (6 * spacing)];
        const re = holes.reduce((s, h) => s + Math.cos(wx * h.xMm + wy * h.yMm), 0);
        const im = holes.reduce((s, h) => s + Math.sin(wx * h.xMm + wy * h.yMm), 0);
        peak = Math.max(peak, (re * re + im * im) / holes.length);
      }
    expect(peak).toBeLessThan(25);
  });

  test("no tile repeats another's pattern", () => {
    const { holes } = settle({ stars: [], ceiling: { outlineMm: rectangle(2400, 2400) }, strands: { stock: [{ diameterMm: 1, count: 640 }] } }); // prettier-ignore
    const places = new Set(holes.map((h) => `${Math.round(h.tileXMm)},${Math.round(h.tileYMm)}`));
    expect(places.size).toBeGreaterThan(holes.length * 0.98);
  });

  /** A map that is bright where right ascension lies within 60 degrees of 0 (plan north), dark elsewhere. */
  const band = (): NonNullable<Setting["milkyWay"]> => {
    const level = new Uint8Array(360 * 181).map((_, i) => (i % 360 < 60 || i % 360 >= 300 ? 200 : 0));
    return { width: 360, height: 181, level };
  };
  const inBand = (h: Hole) =>
    h.yMm > 1500 && Math.abs(h.xMm - 1500) < (h.yMm - 1500) * Math.tan((60 * Math.PI) / 180);

  test("follows the Milky Way as strongly as asked", () => {
    // The wedge of 120 degrees from the zenith covers about 1 - 1/(4 tan 60) - ... of the upper half: measured by counting points.
    let cells = 0;
    for (let x = 25; x < 3000; x += 10)
      for (let y = 25; y < 3000; y += 10) if (inBand({ xMm: x, yMm: y } as Hole)) cells++;
    const share = cells / (298 * 298);
    const contrast = (milkyWay: number) => {
      const { holes, shortfall } = filled(1500, { milkyWay }, band());
      expect(shortfall).toBe("");
      const inside = holes.filter(inBand).length;
      return inside / share / ((holes.length - inside) / (1 - share));
    };
    const mean = 1 * share; // mean level as a share of the band's level
    const expected = (k: number) => (1 - k + k / mean) / (1 - k);
    expect(contrast(0)).toBeGreaterThan(0.9);
    expect(contrast(0)).toBeLessThan(1.1);
    for (const k of [0.3, 0.6, 0.85]) {
      expect(contrast(k) / expected(k)).toBeGreaterThan(0.8);
      expect(contrast(k) / expected(k)).toBeLessThan(1.25);
    }
    expect(contrast(1)).toBeGreaterThan(50);
  });

  test.each([30, 45, 60, 90])(
    "fills what a ceiling can hold at %i mm, then says how many are missing",
    (apart) => {
      const one = { outlineMm: rectangle(600, 600) };
      // Points s apart in a square are at most 2/sqrt 3 of the area over s^2, border apart (Oler 1961).
      const bound = (side: number) => (2 / Math.sqrt(3)) * (side / apart) ** 2 + (2 * side) / apart + 1;
      const count = Math.ceil(bound(600));
      const stock = { stock: [{ diameterMm: 1, count }] };
      const input = settingInput({ stars: [], ceiling: one, strands: stock, pattern: { spacingMm: apart } });
      const { holes, shortfall } = makePattern(input);
      const [tile] = input.ceiling.tiles;
      const xs = tile!.usable[0]!.map((p) => p.x / 1000);
      const side = Math.max(...xs) - Math.min(...xs);
      expect(holes.length).toBeLessThanOrEqual(bound(side));
      // No free point left means that circles of radius s cover the area: their density is at least 1.209
      // (Kershner, Am. J. Math. 61, 1939).
      expect(holes.length).toBeGreaterThan((1.209 * side * side) / (Math.PI * apart * apart) - 1);
      expect(shortfall).toContain(`${count - holes.length} of ${count} holes found no place`);
      // And it is true: no free point is left anywhere.
      for (let x = Math.min(...xs) + 0.01; x < Math.max(...xs); x += 0.5)
        for (let y = Math.min(...xs) + 0.01; y < Math.max(...xs); y += 0.5)
          if (holes.every((h) => (h.xMm - x) ** 2 + (h.yMm - y) ** 2 >= (apart + 0.01) ** 2))
            expect([x, y]).toEqual("taken");
    },
  );

  test("packing alone, from an empty tile, leaves no free point either", () => {
    const { ceiling } = settingInput({ stars: [], ceiling: { outlineMm: rectangle(600, 600) } });
    const room = new Room(ceiling);
    const board = new Board(room, 45_000, 100);
    const endless = () => Infinity;
    fillCorners({ room, board, random: seededRandom(1), stop: () => undefined }, endless, endless);
    const { minX, maxX, minY, maxY } = room.tiles[0]!.box;
    const side = (maxX - minX) / 1000;
    expect(board.count).toBeGreaterThan((1.209 * side * side) / (Math.PI * 45 * 45) - 1); // Kershner, as above
    for (let x = minX; x <= maxX; x += 500)
      for (let y = minY; y <= maxY; y += 500)
        if (board.within(x, y, 45_005).length === 0) expect([x, y]).toEqual("taken");
  });

  test("another seed gives other invented points, the same real stars", () => {
    const stars = [{ hip: 1, xMm: 300, yMm: 300, magnitude: 1 }];
    const of = (seed: number) =>
      settle({ stars, pattern: { seed }, strands: { stock: [{ diameterMm: 1, count: 30 }] } });
    expect(of(1).holes).not.toEqual(of(2).holes);
    const real = (seed: number) => of(seed).holes.filter((h) => h.star).map((h) => [h.xMm, h.yMm]); // prettier-ignore
    expect(real(1)).toEqual(real(2));
  });
});
