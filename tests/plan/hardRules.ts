import { expect } from "vitest";
import type { Planned } from "../../src/plan.ts";
import { quick } from "../quick.ts";

/** Arithmetic of doubles in mm against the program's whole micrometres. */
const TOLERANCE_MM = 1e-6;

/**
 * The hard rules of "Settling holes", looked at with distance code of its own: nothing here uses the
 * program's geometry. Lengths in mm.
 */
export function expectHardRules({ job, ceiling, pattern }: Planned): void {
  const { holes } = pattern;
  const { grid } = ceiling;
  const outline = job.ceiling.outlineMm;
  const spacing = job.pattern.spacingMm;
  const tiles = new Map(ceiling.tiles.map((tile) => [tile.name, tile]));
  holes.forEach((hole, i) => {
    const at: Point = [hole.xMm, hole.yMm];
    const where = `hole ${hole.id} at ${at.join(", ")}`;
    quick(hole.id).toBe(i + 1);
    quick(inside(at, outline), `${where} is in the room`).toBe(true);
    const tile = tiles.get(hole.tile);
    quick(tile?.use, `${where} is in a tile for stars`).toBe("stars");
    quick(hole.tileXMm).toBeCloseTo(hole.xMm - tile!.box.minX / 1000, 6);
    quick(hole.tileYMm).toBeCloseTo(hole.yMm - tile!.box.minY / 1000, 6);
    for (const axis of [0, 1] as const) {
      // distance from the nearest tee's middle, less half of what a tile is smaller than its module
      const offset = mod(at[axis] - grid.originMm[axis], grid.moduleMm[axis]);
      const fromTee = Math.min(offset, grid.moduleMm[axis] - offset);
      const slack = (grid.moduleMm[axis] - grid.tileMm[axis]) / 2;
      quick(fromTee - slack, `${where} keeps from the tile's edge`).toBeGreaterThanOrEqual(
        grid.edgeKeepOutMm - TOLERANCE_MM,
      );
    }
    for (const zone of job.ceiling.noGo) {
      const clear = zone.clearanceMm - TOLERANCE_MM;
      if (zone.circle) {
        const { centreMm, radiusMm } = zone.circle;
        quick(distance(at, centreMm) - radiusMm, `${where} keeps from ${zone.kind}`).toBeGreaterThanOrEqual(
          clear,
        );
      } else {
        const ring = zone.polygonMm ?? cornersOf(zone.rectangle!);
        quick(inside(at, ring), `${where} is not on ${zone.kind}`).toBe(false);
        quick(fromRing(at, ring), `${where} keeps from ${zone.kind}`).toBeGreaterThanOrEqual(clear);
      }
    }
    for (let j = 0; j < i; j++) {
      const other = holes[j]!;
      if (Math.abs(other.xMm - hole.xMm) < spacing) {
        quick(distance(at, [other.xMm, other.yMm]), `${where} and hole ${other.id}`).toBeGreaterThanOrEqual(
          spacing - TOLERANCE_MM,
        );
      }
    }
  });
  for (const { diameterMm, count } of job.strands.stock) {
    const own = holes.filter((h) => h.diameterMm === diameterMm);
    quick(own.reduce((sum, h) => sum + h.strands, 0)).toBeLessThanOrEqual(count);
  }
}

/** What a plan says must add up with what it holds. */
export function expectBookkeeping({ job, pattern }: Planned): void {
  const { holes, lost, fidelity, wanted, spare } = pattern;
  const real = holes.filter((h) => h.kind !== "filler");
  const stock = job.strands.stock.reduce((sum, s) => sum + s.count, 0);
  quick(wanted).toBe(job.strands.use ?? stock);
  const strands = holes.reduce((sum, h) => sum + h.strands, 0);
  quick(strands).toBeLessThanOrEqual(Math.min(wanted, stock));
  expect(spare.reduce((sum, { count }) => sum + count, strands)).toBe(stock);
  expect(fidelity).toMatchObject({ stars: real.length, filler: holes.length - real.length });
  const bright = [...real].sort((a, b) => a.magnitude! - b.magnitude!);
  for (let i = 1; i < bright.length; i++) {
    const [brighter, fainter] = [bright[i - 1]!, bright[i]!];
    if (brighter.magnitude! < fainter.magnitude!)
      expect(light(fainter)).toBeLessThanOrEqual(light(brighter) + 1e-9);
  }
  const placed = new Set(real.map((h) => h.star).filter((star) => star !== null));
  for (const star of lost) expect(star.star !== null && placed.has(star.star)).toBe(false);
  for (const h of holes) {
    expect([h.star, h.trueXMm, h.trueYMm, h.magnitude].includes(null)).toBe(h.kind !== "star");
    for (const value of [h.xMm, h.yMm, h.tileXMm, h.tileYMm]) {
      quick(Math.abs(value * 1000 - Math.round(value * 1000))).toBeLessThan(1e-6);
    }
  }
}

const light = (h: { diameterMm: number; strands: number }): number => h.strands * h.diameterMm ** 2;

type Point = readonly [number, number];
const mod = (a: number, b: number): number => ((a % b) + b) % b;
const distance = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);

function inside([x, y]: Point, ring: readonly Point[]): boolean {
  let odd = false;
  ring.forEach(([x1, y1], i) => {
    const [x2, y2] = ring[(i + 1) % ring.length]!;
    if (y1 > y !== y2 > y && x < x1 + ((y - y1) / (y2 - y1)) * (x2 - x1)) odd = !odd;
  });
  return odd;
}

/** A rectangle turned clockwise about its centre. */
function cornersOf({
  cornerMm: [x, y],
  sizeMm: [w, h],
  turnDeg,
}: {
  cornerMm: Point;
  sizeMm: Point;
  turnDeg: number;
}): Point[] {
  const [sin, cos] = [Math.sin((-turnDeg * Math.PI) / 180), Math.cos((-turnDeg * Math.PI) / 180)];
  return [[-w, -h], [w, -h], [w, h], [-w, h]].map(([dx, dy]): Point => [x + w / 2 + (dx! * cos - dy! * sin) / 2, y + h / 2 + (dx! * sin + dy! * cos) / 2]); // prettier-ignore
}

function fromRing(at: Point, ring: readonly Point[]): number {
  return Math.min(
    ...ring.map((a, i) => {
      const b = ring[(i + 1) % ring.length]!;
      const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
      const length2 = dx * dx + dy * dy;
      const t = length2 === 0 ? 0 : ((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / length2;
      const clamped = Math.max(0, Math.min(1, t));
      return distance(at, [a[0] + clamped * dx, a[1] + clamped * dy]);
    }),
  );
}
