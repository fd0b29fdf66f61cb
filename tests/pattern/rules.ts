import { expect } from "vitest";
import type { PatternInput } from "../../src/pattern/pattern.ts";
import type { Hole, Pattern } from "../../src/pattern/types.ts";
import { insideRings, tileNamed, toEdgeMm } from "./synthetic.ts";

/** What a cut may be off where a corner was put on whole micrometres. */
const ROUNDING_MM = 0.005;

/** Every rule that holds for any input, checked with distance code of the test's own. */
export function expectHardRules(input: PatternInput, pattern: Pattern): void {
  expectClear(input, pattern.holes);
  expectSpaced(pattern.holes, input.pattern.spacingMm);
  expectStock(input, pattern);
  expectMonotone(pattern.holes);
  expectNumbered(input, pattern.holes);
  expectAccounted(input, pattern);
}

function expectClear({ ceiling }: PatternInput, holes: Hole[]): void {
  for (const hole of holes) {
    const where = `hole ${hole.id} at ${hole.xMm}, ${hole.yMm}`;
    const tile = tileNamed(ceiling, hole.tile);
    const xUm = hole.xMm * 1000;
    const yUm = hole.yMm * 1000;
    const onEdge = toEdgeMm(ceiling.outline, hole.xMm, hole.yMm);
    expect(tile.use, where).toBe("stars");
    expect(insideRings(ceiling.outline, xUm, yUm), where).toBe(true);
    expect(insideRings(tile.outline, xUm, yUm), where).toBe(true);
    expect(toEdgeMm(tile.outline, hole.xMm, hole.yMm), where).toBeGreaterThanOrEqual(
      ceiling.grid.edgeKeepOutMm - ROUNDING_MM,
    );
    expect(onEdge, where).toBeGreaterThanOrEqual(ceiling.grid.wallAngleMm - ROUNDING_MM);
    expect(
      insideRings(tile.usable, xUm, yUm) || toEdgeMm(tile.usable, hole.xMm, hole.yMm) < ROUNDING_MM,
    ).toBe(true);
    for (const { source } of ceiling.noGo) {
      const clear = source.clearanceMm - ROUNDING_MM;
      if (source.circle) {
        const [cx, cy] = source.circle.centreMm;
        expect(Math.hypot(hole.xMm - cx, hole.yMm - cy), where).toBeGreaterThanOrEqual(
          source.circle.radiusMm + clear,
        );
      } else if (source.polygonMm) {
        const ring = [source.polygonMm.map(([x, y]) => ({ x: x * 1000, y: y * 1000 }))];
        expect(insideRings(ring, xUm, yUm), where).toBe(false);
        expect(toEdgeMm(ring, hole.xMm, hole.yMm), where).toBeGreaterThanOrEqual(clear);
      }
    }
    for (const v of [hole.xMm, hole.yMm])
      expect(Math.abs(v * 1000 - Math.round(v * 1000))).toBeLessThan(1e-6);
  }
}

/** Sweep by x, so that ten thousand holes are compared in little time. */
export function expectSpaced(holes: Hole[], spacingMm: number): void {
  const sorted = [...holes].sort((p, q) => p.xMm - q.xMm);
  const least = spacingMm * (1 - 1e-9);
  for (let i = 0; i < sorted.length; i++)
    for (let j = i + 1; j < sorted.length && sorted[j]!.xMm - sorted[i]!.xMm < spacingMm; j++) {
      const apart = Math.hypot(sorted[i]!.xMm - sorted[j]!.xMm, sorted[i]!.yMm - sorted[j]!.yMm);
      if (apart < least)
        expect(apart, `holes ${sorted[i]!.id} and ${sorted[j]!.id}`).toBeGreaterThanOrEqual(least);
    }
}

function expectStock(
  { strands }: PatternInput,
  { holes, wanted, shortfall, spare, fidelity }: Pattern,
): void {
  const inStock = new Map<number, number>();
  for (const { diameterMm, count } of strands.stock)
    inStock.set(diameterMm, (inStock.get(diameterMm) ?? 0) + count);
  const used = new Map<number, number>();
  for (const hole of holes) used.set(hole.diameterMm, (used.get(hole.diameterMm) ?? 0) + hole.strands);
  for (const [diameterMm, count] of used) expect(count).toBeLessThanOrEqual(inStock.get(diameterMm) ?? 0);
  const total = [...inStock.values()].reduce((s, n) => s + n, 0);
  expect(wanted).toBe(strands.use ?? total);
  const taken = [...used.values()].reduce((s, n) => s + n, 0);
  expect(taken).toBeLessThanOrEqual(Math.min(wanted, total));
  expect(spare.reduce((s, { count }) => s + count, taken)).toBe(total);
  if (strands.mostPerHole === 1) expect(shortfall === "").toBe(holes.length === wanted);
  expect(fidelity.stars + fidelity.filler).toBe(holes.length);
  expect(fidelity.deeper).toBe(holes.filter((h) => h.deeper).length);
}

function expectMonotone(holes: Hole[]): void {
  const real = holes.filter((h) => h.kind !== "filler").sort((p, q) => p.magnitude! - q.magnitude!);
  let leastSoFar = Infinity;
  for (let i = 0; i < real.length;) {
    let end = i;
    while (end < real.length && real[end]!.magnitude === real[i]!.magnitude) end++;
    const group = real.slice(i, end).map((h) => Math.round(h.strands * (h.diameterMm * 1000) ** 2));
    expect(Math.max(...group)).toBeLessThanOrEqual(leastSoFar);
    leastSoFar = Math.min(...group);
    i = end;
  }
}

function expectNumbered({ ceiling }: PatternInput, holes: Hole[]): void {
  const next = new Map<string, number>();
  holes.forEach((hole, i) => {
    const number = (next.get(hole.tile) ?? 0) + 1;
    next.set(hole.tile, number);
    expect([hole.id, hole.numberInTile]).toEqual([i + 1, number]);
    const { box } = tileNamed(ceiling, hole.tile);
    expect(hole.tileXMm).toBeCloseTo(hole.xMm - box.minX / 1000, 6);
    expect(hole.tileYMm).toBeCloseTo(hole.yMm - box.minY / 1000, 6);
  });
}

/** Each object on the outline down to the faintest used is a hole, merged or lost, exactly once. */
function expectAccounted({ projected, ceiling }: PatternInput, { holes, lost, fidelity }: Pattern): void {
  const seen = new Map<number, number>();
  const count = (star: number | null) => star !== null && seen.set(star, (seen.get(star) ?? 0) + 1);
  holes.forEach((h) => count(h.star));
  lost.forEach((l) => count(l.star));
  const joined = holes.flatMap((h) => h.merged);
  expect(joined.length).toBe(fidelity.merged);
  expect([...joined].sort()).toEqual(
    lost.filter((l) => l.reason === "merged").map((l) => l.star).sort(), // prettier-ignore
  );
  for (const [star, times] of seen) expect(times, `star ${star}`).toBe(1);
  const deeper = new Set(holes.filter((h) => h.deeper).map((h) => h.star!));
  const used = holes.filter((h) => h.star !== null && !h.deeper).map((h) => h.star!);
  const magnitudeOf = new Map<number, number>();
  for (let i = 0; i < projected.count; i++) magnitudeOf.set(projected.hip[i]!, projected.magnitudeMilli[i]!);
  const faintest = used.reduce((m, star) => Math.max(m, magnitudeOf.get(star)!), -Infinity);
  for (let i = 0; i < projected.count; i++) {
    const hip = projected.hip[i]!;
    if (toEdgeMm(ceiling.outline, projected.xUm[i]! / 1000, projected.yUm[i]! / 1000) < ROUNDING_MM) continue;
    const on = insideRings(ceiling.outline, projected.xUm[i]!, projected.yUm[i]!);
    if (!on) expect(seen.has(hip), `star ${hip} lies outside`).toBe(false);
    else if (projected.magnitudeMilli[i]! < faintest) expect(seen.get(hip), `star ${hip}`).toBe(1);
    else if (projected.magnitudeMilli[i]! > faintest)
      expect(seen.has(hip), `star ${hip}`).toBe(joined.includes(hip) || deeper.has(hip));
  }
  for (const star of deeper) expect(magnitudeOf.get(star)).toBeGreaterThanOrEqual(faintest);
}
