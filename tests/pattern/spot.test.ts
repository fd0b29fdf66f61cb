import { describe, expect, test } from "vitest";
import { Board, FILLER } from "../../src/pattern/board.ts";
import { distanceToUsable, nearestSpot } from "../../src/pattern/spot.ts";
import { Room } from "../../src/pattern/room.ts";
import { seededRandom } from "../../src/pattern/random.ts";
import { ROUNDING_UM } from "../../src/geometry/area.ts";
import { latticeRound, spaced, usable } from "./brute.ts";
import { settingInput } from "./synthetic.ts";

const STEP_MM = 0.25;
/** Rounding to the lattice of whole micrometres, once for the point and once for the circle. */
const ROUNDING_MM = 0.006;

/** A tile with a round, a sharp and a slanting no-go zone, and holes strewn at random, some touching. */
function scene(seed: number) {
  const random = seededRandom(seed);
  const mm = (from: number, to: number) => from + random.below(Math.round((to - from) * 1000)) / 1000;
  const { ceiling } = settingInput({
    stars: [],
    ceiling: {
      noGo: [
        { kind: "sprinkler", circle: { centreMm: [mm(100, 500), mm(100, 500)], radiusMm: mm(10, 60) }, clearanceMm: 12 }, // prettier-ignore
        { kind: "luminaire", polygonMm: [[200, 200], [mm(300, 420), 210], [mm(205, 330), mm(300, 420)]], clearanceMm: 3 }, // prettier-ignore
      ],
    },
  });
  const room = new Room(ceiling);
  const spacingMm = mm(4, 30);
  const board = new Board(room, Math.round(spacingMm * 1000), 50);
  const holes: { x: number; y: number }[] = [];
  for (let dart = 0; dart < 400; dart++) {
    const x = mm(120, 480);
    const y = mm(120, 480);
    const tile = room.tileAt(Math.round(x * 1000), Math.round(y * 1000));
    if (tile < 0 || board.blocked(Math.round(x * 1000), Math.round(y * 1000))) continue;
    board.add(Math.round(x * 1000), Math.round(y * 1000), tile, FILLER);
    holes.push({ x, y });
  }
  return { ceiling, room, board, holes, spacingMm: Math.round(spacingMm * 1000) / 1000, mm };
}

describe("the nearest free usable point", () => {
  test("is usable, free and no farther than any lattice point found by brute force", () => {
    let moved = 0;
    let none = 0;
    for (let seed = 1; seed <= 80; seed++) {
      const { ceiling, room, board, holes, spacingMm, mm } = scene(seed);
      const at = { x: mm(150, 450), y: mm(150, 450) };
      const reach = mm(2, 24);
      const spot = nearestSpot(room, board, Math.round(at.x * 1000), Math.round(at.y * 1000), Math.round(reach * 1000)); // prettier-ignore
      const best = latticeRound(ceiling, at, reach - ROUNDING_MM, STEP_MM).find((c) =>
        spaced(holes, c.x, c.y, spacingMm),
      );
      if (!spot) {
        expect(best, `seed ${seed}: brute force found a spot`).toBeUndefined();
        none++;
        continue;
      }
      const x = spot.x / 1000;
      const y = spot.y / 1000;
      expect(Number.isInteger(spot.x) && Number.isInteger(spot.y)).toBe(true);
      expect(usable(ceiling, x, y) || usable(ceiling, x + 1e-3, y) || usable(ceiling, x - 1e-3, y) || usable(ceiling, x, y + 1e-3) || usable(ceiling, x, y - 1e-3), `seed ${seed}`).toBe(true); // prettier-ignore
      expect(spaced(holes, x, y, spacingMm - 1e-6), `seed ${seed}`).toBe(true);
      expect(spot.movedUm).toBeLessThanOrEqual(reach * 1000 + 1);
      if (best) expect(spot.movedUm / 1000, `seed ${seed}`).toBeLessThanOrEqual(best.move + ROUNDING_MM);
      if (spot.movedUm > 0) moved++;
    }
    expect(moved).toBeGreaterThan(25);
    expect(none).toBeGreaterThan(3);
  });

  test("is sought only beside the place once a crowded sky has cost its share of work", () => {
    const room = new Room(settingInput({ stars: [] }).ceiling);
    const board = new Board(room, 5000, 1);
    const { minX, maxY, minY } = room.box;
    const seek = () => nearestSpot(room, board, minX - 30_000, (minY + maxY) / 2, 100_000);
    expect(seek()?.movedUm).toBeGreaterThanOrEqual(30_000);
    board.looks = 1e9;
    expect(seek()).toBeNull();
  });

  test("stays where it is when that is free, and knows how far the usable area is", () => {
    const { room } = scene(1);
    const empty = new Board(room, 8000, 10);
    expect(nearestSpot(room, empty, 50_000, 50_000, 1000)).toMatchObject({
      x: 50_000,
      y: 50_000,
      movedUm: 0,
    });
    // The middle of the tee at x = 600 mm: 2.5 mm half slack and 17 mm keep-out to either side.
    const apart = distanceToUsable(room, 600_000, 300_000, 90_000);
    expect(apart).toBeGreaterThanOrEqual(19_500);
    expect(apart).toBeLessThanOrEqual(19_500 + ROUNDING_UM);
    expect(distanceToUsable(room, 600_000, 300_000, 19_000)).toBe(Infinity);
    expect(nearestSpot(room, empty, 600_000, 300_000, 25_000)!.movedUm).toBe(apart);
  });

  test("steps aside from a hole at the very same place by just the spacing", () => {
    const { room } = scene(1);
    const board = new Board(room, 8000, 10);
    board.add(60_000, 60_000, room.tileAt(60_000, 60_000), FILLER);
    expect(nearestSpot(room, board, 60_000, 60_000, 8000)!.movedUm).toBe(8000);
    expect(nearestSpot(room, board, 60_000, 60_000, 7999)).toBeNull();
  });
});
