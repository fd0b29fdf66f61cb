import { describe, expect, test } from "vitest";
import { seededRandom } from "../../src/pattern/random.ts";
import type { Hole } from "../../src/pattern/types.ts";
import { rectangle, settingInput, settle, type Setting, type TestStar } from "./synthetic.ts";
import { makePattern } from "../../src/pattern/pattern.ts";

/** Stars by chance over 4 x 3 tiles, counts rising by 10^0.45 a magnitude down to V 9. */
const stars: TestStar[] = (() => {
  const random = seededRandom(11);
  const chance = () => (random.next() + 0.5) / 2 ** 32;
  return Array.from({ length: 6000 }, (_, i) => ({
    hip: i + 1,
    xMm: chance() * 2400,
    yMm: chance() * 1800,
    magnitude: Math.round((9 + Math.log10(chance()) / 0.45) * 100) / 100,
  }));
})();
const room = { outlineMm: rectangle(2400, 1800) };
const stock = [{ diameterMm: 0.75, count: 350 }, { diameterMm: 1.5, count: 50 }]; // prettier-ignore
const plan = (pattern: Setting["pattern"] = {}, change: Partial<Setting> = {}) =>
  settle({ stars, ceiling: room, strands: { stock }, pattern: { milkyWay: 0, deeperShare: 0.4, ...pattern }, ...change }); // prettier-ignore

describe("stars beyond the limit of brightness", () => {
  const p = plan();
  const deeper = p.holes.filter((h) => h.deeper);
  const scaled = p.holes.filter((h) => !h.deeper);

  test("are as many as set aside, real, fainter than all others and on the thinnest strands", () => {
    expect([p.holes.length, deeper.length, p.fidelity.filler]).toEqual([400, 160, 0]);
    for (const h of deeper) {
      const star = stars.find((s) => s.hip === h.star)!;
      expect(h.magnitude).toBe(star.magnitude);
      expect([h.trueXMm! - star.xMm, h.trueYMm! - star.yMm].every((d) => Math.abs(d) < 0.001)).toBe(true);
      expect(h.movedMm).toBe(0);
      expect(h.magnitude).toBeGreaterThanOrEqual(p.fidelity.faintestMagnitude!);
      expect(h.diameterMm).toBe(0.75);
    }
    expect(Math.max(...scaled.map((h) => h.magnitude!))).toBe(p.fidelity.faintestMagnitude);
  });

  test("thin out instead of stopping: each half magnitude below the limit has some, and none has most", () => {
    const steps = [0, 1, 2, 3].map(
      (k) =>
        deeper.filter((h) => Math.floor((h.magnitude! - p.fidelity.faintestMagnitude!) / 0.5) === k).length,
    );
    for (const count of steps.slice(0, 3)) {
      expect(count).toBeGreaterThan(10);
      expect(count).toBeLessThan(0.6 * deeper.length);
    }
  });

  test("another seed draws others, the stars to the limit stay", () => {
    const other = plan({ seed: 2 });
    const names = (holes: Hole[], deep: boolean) => holes.filter((h) => h.deeper === deep).map((h) => h.star);
    expect(names(other.holes, false).sort()).toEqual(names(p.holes, false).sort());
    expect(names(other.holes, true).sort()).not.toEqual(names(p.holes, true).sort());
  });

  test("a limit set by hand is where they begin", () => {
    const limited = plan({ faintestMagnitude: 5, deeperShare: 0 });
    expect(limited.fidelity.faintestMagnitude).toBeLessThanOrEqual(5);
    expect(limited.holes.every((h) => h.deeper === h.magnitude! > 5)).toBe(true);
    expect(limited.fidelity.filler).toBe(0);
  });

  test("invented points come only where the catalogue has no more", () => {
    const few = plan({}, { stars: [...stars].sort((a, b) => a.magnitude - b.magnitude).slice(0, 300) });
    expect(few.holes.length).toBe(400);
    const real = few.fidelity.stars + few.fidelity.merged + few.fidelity.lost;
    expect(real).toBeGreaterThan(290);
    expect(few.fidelity.filler).toBe(400 - few.fidelity.stars);
  });

  test("they are more where the Milky Way is, as strongly as asked", () => {
    // Every star in the synthetic catalogue has a direction of its own: bright band for half of them.
    const share = (milkyWay: number) => {
      const level = new Uint8Array(360 * 181).map((_, i) => (i % 360 < 180 ? 200 : 0));
      const input = settingInput({ stars, ceiling: room, strands: { stock }, milkyWay: { width: 360, height: 181, level }, pattern: { milkyWay, deeperShare: 0.4 } }); // prettier-ignore
      const table = input.catalog.stars;
      for (let row = 0; row < table.count; row++) {
        table.x[row] = 0;
        table.y[row] = row % 2 ? 1 : -1;
      }
      const drawn = makePattern(input).holes.filter((h) => h.deeper);
      // rows of the projected sky are its own order, brightest first
      const order = [...stars].sort((a, b) => a.magnitude - b.magnitude || a.hip - b.hip);
      const bright = drawn.filter((h) => order.findIndex((s) => s.hip === h.star) % 2 === 1).length;
      return bright / drawn.length;
    };
    expect(Math.abs(share(0) - 0.5)).toBeLessThan(0.12);
    expect(share(0.6)).toBeGreaterThan(0.68);
    expect(share(1)).toBe(1);
  });
});

test("evenness keeps its equal counts with fainter stars among them", () => {
  const even = plan({ evenness: 1 });
  expect(even.holes.length).toBe(400);
  expect(even.fidelity.perTile.most - even.fidelity.perTile.least).toBeLessThanOrEqual(1);
  expect(even.fidelity.filler).toBe(0);
});
