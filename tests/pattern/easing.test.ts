import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { Easing } from "../../src/pattern/easing.ts";
import { Room } from "../../src/pattern/room.ts";
import { insideRings, rectangle, settingInput, toEdgeMm, type Setting } from "./synthetic.ts";

const REACH_MM = 25;

function easingOf(ceiling: Setting["ceiling"]) {
  const input = settingInput({ stars: [], ...(ceiling ? { ceiling } : {}) });
  return {
    ceiling: input.ceiling,
    easing: new Easing(new Room(input.ceiling), input.ceiling, REACH_MM * 1000),
  };
}
const mm = (easing: Easing, x: number, y: number, share = 1) => {
  const to = easing.eased(Math.round(x * 1000), Math.round(y * 1000), share);
  return to && { x: to.x / 1000, y: to.y / 1000 };
};
/** Micrometres are whole. */
const ROUNDING_MM = 0.002;

// 600 mm modules, tee of 24 mm: usable from 19.5 mm beside the middle of a tee (17 mm inside the tile's edge).
const HIDDEN = 19.5;

describe("beside a tee", () => {
  const { easing } = easingOf({ outlineMm: rectangle(1800, 1800) });

  test("the sky parts along its middle, keeps its order and is left alone deep in the tile", () => {
    let last = mm(easing, 600.001, 900)!.x;
    expect(last).toBeCloseTo(600 + HIDDEN, 2);
    expect(mm(easing, 599.999, 900)!.x).toBeCloseTo(600 - HIDDEN, 2);
    for (let x = 600.5; x < 900; x += 0.5) {
      const now = mm(easing, x, 900)!.x;
      expect(now).toBeGreaterThan(last);
      last = now;
    }
    expect(mm(easing, 700, 850)).toEqual({ x: 700, y: 850 });
  });

  test("nowhere stand stars more than 1.6 times as dense, however many hide under the tee, and at its edge as everywhere", () => {
    const counts = new Map<number, number>();
    const step = 0.05;
    for (let x = 600 + step / 2; x < 900; x += step) {
      const bin = Math.floor(mm(easing, x, 900)!.x / 2);
      counts.set(bin, (counts.get(bin) ?? 0) + step / 2);
    }
    for (const [bin, density] of counts) if (bin > 310 && bin < 449) expect(density, `at ${2 * bin} mm`).toBeLessThan(1.6); // prettier-ignore
    expect(counts.get(310)).toBeLessThan(1.15); // 620 to 622 mm, from half a millimetre inside the edge on
    const all = [...counts.values()].reduce((sum, n) => sum + 2 * n, 0);
    expect(all).toBeCloseTo(300, 3); // nothing gets lost under a tee
  });

  test("a bright star comes just clear of it and moves no farther", () => {
    expect(mm(easing, 610, 900, 0)!.x).toBeCloseTo(600 + HIDDEN, 2);
    expect(mm(easing, 625, 900, 0)).toEqual({ x: 625, y: 900 });
  });
});

test("round a fitting the sky makes room, what lies deep under it is given up", () => {
  const noGo = [{ kind: "luminaire" as const, circle: { centreMm: [900, 900] as [number, number], radiusMm: 80 }, clearanceMm: 20 }]; // prettier-ignore
  const { easing } = easingOf({ outlineMm: rectangle(1800, 1800), noGo });
  expect(mm(easing, 900, 930)).toBeNull();
  let last = 0;
  for (let r = 90; r < 160; r += 0.5) {
    const at = mm(easing, 900 + r * 0.6, 900 + r * 0.8)!;
    const now = Math.hypot(at.x - 900, at.y - 900);
    expect(now).toBeGreaterThan(Math.max(last, 100 - 0.2));
    expect(now - r).toBeLessThan(13);
    last = now;
  }
  expect(last).toBeCloseTo(159.5, 1);
});

const zone = fc
  .record({
    x: fc.integer({ min: 0, max: 2400 }),
    y: fc.integer({ min: 0, max: 1800 }),
    size: fc.integer({ min: 20, max: 400 }),
    clear: fc.integer({ min: 0, max: 60 }),
    round: fc.boolean(),
  }) // prettier-ignore
  .map(
    ({ x, y, size, clear, round }) =>
    round
      ? { kind: "sprinkler" as const, circle: { centreMm: [x, y] as [number, number], radiusMm: size / 2 }, clearanceMm: clear } // prettier-ignore
      : { kind: "luminaire" as const, rectangle: { cornerMm: [x, y] as [number, number], sizeMm: [size, size / 2 + 10] as [number, number], turnDeg: (x + y) % 90 }, clearanceMm: clear }, // prettier-ignore
  );
const room = fc.record({
  cut: fc.integer({ min: 60, max: 590 }),
  zones: fc.array(zone, { maxLength: 4 }),
  plain: fc.constantFrom("", "B2", "A1"),
});
type AnyRoom = typeof room extends fc.Arbitrary<infer T> ? T : never;
const ceilingOf = ({ cut, zones, plain }: AnyRoom) =>
  easingOf({
    outlineMm: rectangle(1800 + cut, 1200 + cut),
    noGo: zones,
    tiles: plain ? { [plain]: { use: "plain" as const } } : {},
  });
const place = fc.tuple(fc.integer({ min: 0, max: 2_390_000 }), fc.integer({ min: 0, max: 1_790_000 }));

describe("in any room", () => {
  test("no place goes farther than its reach, over the outline, or into another tile that takes stars", () => {
    fc.assert(
      fc.property(room, place, fc.double({ min: 0, max: 1, noNaN: true }), (r, [x, y], share) => {
        const { ceiling, easing } = ceilingOf(r);
        const to = easing.eased(x, y, share);
        if (!to) return;
        expect(Math.hypot(to.x - x, to.y - y) / 1000).toBeLessThanOrEqual(REACH_MM + ROUNDING_MM);
        if (!insideRings(ceiling.outline, x, y)) return;
        expect(insideRings(ceiling.outline, to.x, to.y)).toBe(true);
        const home = ceiling.tiles.find(({ outline }) => insideRings(outline, x, y));
        if (home?.usable.length)
          expect(insideRings(home.outline, to.x, to.y), `${x}, ${y} to ${to.x}, ${to.y}`).toBe(true);
      }),
      { numRuns: 600 },
    );
  });

  test("order is kept along a line from the middle of a tile to its edge, and near places stay near", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 60, max: 590 }),
        fc.integer({ min: 605, max: 1195 }),
        fc.boolean(),
        (cut, across, upright) => {
          const { easing } = ceilingOf({ cut, zones: [], plain: "" });
          let last = -Infinity;
          for (let v = 605; v < 1195; v += 3) {
            const to = upright ? mm(easing, across, v) : mm(easing, v, across);
            if (!to) continue;
            const now = upright ? to.y : to.x;
            expect(now).toBeGreaterThanOrEqual(last);
            if (last > -Infinity) expect(now - last).toBeLessThan(3.01);
            last = now;
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  test("outside a zone nothing jumps: places 0.2 mm apart stay within 1 mm", () => {
    fc.assert(
      fc.property(room, place, fc.integer({ min: -200, max: 200 }), (r, [x, y], dy) => {
        const { ceiling, easing } = ceilingOf(r);
        const dx = Math.round(Math.sqrt(200 ** 2 - dy ** 2));
        const inside = (px: number, py: number) =>
          ceiling.tiles.some(({ usable }) => insideRings(usable, px, py));
        if (!inside(x, y) || !inside(x + dx, y + dy)) return;
        const zones = ceiling.noGo.filter(({ grown }) => toEdgeMm(grown, x / 1000, y / 1000) < 60);
        if (zones.length > 1) return; // between two zones lies a middle line, where the sky parts
        const a = easing.eased(x, y, 1)!;
        const b = easing.eased(x + dx, y + dy, 1)!;
        expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeLessThan(1000);
      }),
      { numRuns: 800 },
    );
  });
});

test("a place deep inside is exactly where it was, whatever the seed of the room", () => {
  fc.assert(
    fc.property(room, place, (r, [x, y]) => {
      const { ceiling, easing } = ceilingOf(r);
      const home = ceiling.tiles.find(({ usable }) => insideRings(usable, x, y));
      if (!home || toEdgeMm(home.usable, x / 1000, y / 1000) < 60) return;
      expect(easing.eased(x, y, 1)).toEqual({ x, y });
    }),
    { numRuns: 300 },
  );
});
