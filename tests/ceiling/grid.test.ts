import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { balancedBorderUm, defaultKeepOutMm, defaultTileMm, isWholeInches } from "../../src/ceiling/grid.ts";
import { MODULE_PRESETS, TEE_PRESETS } from "../../src/ceiling/presets.ts";
import { rectangle, section } from "./sections.ts";

/**
 * Worked out by hand from nominal sizes (24 in = 609.6 mm, 15/16 in = 23.8 mm ...): opening between
 * flanges, bearing, share of the ceiling hidden by tees, keep-out from the tile's edge.
 */
const INCH = 25.4;
const TABLE = [
  {
    system: "24 in, 15/16 tee",
    module: 609.6,
    tee: (15 / 16) * INCH,
    opening: 585.8,
    bearing: 8.7,
    slack: 6.35,
    hidden: 7.7,
    keepOut: 17,
  },
  {
    system: "24 in, 9/16 tee",
    module: 609.6,
    tee: (9 / 16) * INCH,
    opening: 595.3,
    bearing: 4.0,
    slack: 6.35,
    hidden: 4.6,
    keepOut: 12,
  },
  {
    system: "600, 24 mm tee",
    module: 600,
    tee: 24,
    opening: 576,
    bearing: 9.5,
    slack: 5,
    hidden: 7.8,
    keepOut: 17,
  },
  {
    system: "600, 15 mm tee",
    module: 600,
    tee: 15,
    opening: 585,
    bearing: 5,
    slack: 5,
    hidden: 4.9,
    keepOut: 12.5,
  },
  {
    system: "625, 24 mm tee",
    module: 625,
    tee: 24,
    opening: 601,
    bearing: 9.5,
    slack: 5,
    hidden: 7.5,
    keepOut: 17,
  },
  {
    system: "625, 15 mm tee",
    module: 625,
    tee: 15,
    opening: 610,
    bearing: 5,
    slack: 5,
    hidden: 4.7,
    keepOut: 12.5,
  },
];

describe("defaults of the grid, against a table worked out by hand from nominal sizes", () => {
  it.each(TABLE)("$system", ({ module, tee, opening, bearing, slack, hidden, keepOut }) => {
    const [tile] = defaultTileMm([module, module]);
    expect(module - tile).toBeCloseTo(slack, 6);
    // The table rounds to a tenth, the keep-out to half a millimetre.
    expect(Math.abs(module - tee - opening)).toBeLessThan(0.06);
    expect(Math.abs((tile - (module - tee)) / 2 - bearing)).toBeLessThan(0.06);
    expect(Math.abs((1 - ((module - tee) / module) ** 2) * 100 - hidden)).toBeLessThan(0.06);
    const ours = defaultKeepOutMm(tee);
    expect(ours).toBeCloseTo(bearing + slack / 2 + 5, 0);
    expect(Math.abs(ours - keepOut)).toBeLessThan(0.2);
  });

  it("leaves about 13 % of a wide-tee ceiling without holes", () => {
    // Inner tiles alone, 24 in module: every tile of a large room but its border.
    const ceiling = makeCeiling(section({ outlineMm: rectangle(609.6 * 10, 609.6 * 10) }));
    const inner = ceiling.tiles.find((tile) => tile.name === "E5")!;
    expect(1 - inner.usableMm2 / 609.6 ** 2).toBeGreaterThan(0.125);
    expect(1 - inner.usableMm2 / 609.6 ** 2).toBeLessThan(0.135);
    expect(inner.usableMm2).toBeCloseTo((603.25 - 2 * 17.002) ** 2, 3);
  });

  it("tells inches from millimetres: 24 in is neither 600 nor 610 mm", () => {
    expect([609.6, 1219.2, 152.4].map(isWholeInches)).toEqual([true, true, true]);
    expect([600, 610, 1219, 1220, 625, 1250].map(isWholeInches)).toEqual(Array(6).fill(false));
  });

  it("offers tiles 1/4 in or 5 mm smaller than their module", () => {
    const tiles = Object.fromEntries(MODULE_PRESETS.map((p) => [p.id, p.tileMm]));
    expect(tiles).toEqual({
      "24x24in": [603.25, 603.25], // 23 3/4 in
      "24x48in": [603.25, 1212.85], // 23 3/4 x 47 3/4 in
      "600x600": [595, 595],
      "600x1200": [595, 1195],
      "625x625": [620, 620],
      "625x1250": [620, 1245],
    });
    expect(TEE_PRESETS.map((t) => t.teeFaceMm)).toEqual([24, 15]);
  });
});

describe("balanced borders, against the trade's rule (common practice, no source: opposite borders equal, each more than half)", () => {
  it.each([
    // Worked by hand: room, module, border.
    ["14 ft under 4 ft: 2 ft left over, plus 4, halved", 4267.2, 1219.2, 914.4],
    ["5000 under 600: 200 left over, plus 600, halved", 5000, 600, 400],
    ["an exact multiple: whole tiles at the walls", 4876.8, 609.6, 609.6],
    ["barely more than a multiple", 4877.8, 609.6, 305.3],
    ["barely less than a multiple", 4875.8, 609.6, 609.1],
    ["between one tile and two", 900, 600, 450],
    ["one tile exactly", 600, 600, 600],
    ["smaller than a tile", 450, 600, 450],
  ])("%s", (_, room, module, border) => {
    expect(balancedBorderUm(Math.round(room * 1000), Math.round(module * 1000))).toBe(
      Math.round(border * 1000),
    );
  });

  it("holds in every rectangular room", () => {
    const side = fc.integer({ min: 700_000, max: 20_000_000 }).map((um) => um / 1000);
    const module = fc.constantFrom(609.6, 1219.2, 600, 625, 599.999);
    fc.assert(
      fc.property(side, side, module, module, (width, depth, mx, my) => {
        fc.pre(width > mx && depth > my);
        const { grid } = makeCeiling(
          section({ outlineMm: rectangle(width, depth), grid: { moduleMm: [mx, my] } }),
        );
        const { left, right, bottom, top } = grid.bordersMm;
        expect(Math.abs(left - right)).toBeLessThanOrEqual(0.0021);
        expect(Math.abs(bottom - top)).toBeLessThanOrEqual(0.0021);
        expect(left).toBeGreaterThan(mx / 2 - 0.0011);
        expect(bottom).toBeGreaterThan(my / 2 - 0.0011);
        expect(left).toBeLessThanOrEqual(mx);
        // Borders and whole modules make up the room.
        const whole = (width - left - right) / mx;
        expect(Math.abs(whole - Math.round(whole))).toBeLessThan(1e-5);
      }),
      { seed: 2201, numRuns: 60 },
    );
  });

  it("takes a measured crossing as it is", () => {
    const { grid } = makeCeiling(
      section({ outlineMm: rectangle(2000, 1500), grid: { moduleMm: [600, 600], originMm: [1000, -50] } }),
    );
    expect(grid.bordersMm).toEqual({ left: 400, right: 400, bottom: 550, top: 350 });
  });
});
