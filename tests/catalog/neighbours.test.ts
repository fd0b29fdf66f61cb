import { expect, test } from "vitest";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";

/** Down to here Hipparcos has every star (complete to V 7.3 to 9; Perryman and others, ESA SP-1200, 1997, section 1.1); beyond, it chose. */
const FAINTEST = 7;
const FIELDS = 3;
/** Directions are sorted into cells of this size: a few stars in each. */
const CELL = 0.05;

type Points = { x: Float64Array; y: Float64Array; z: Float64Array };

/** Mean angle from each point to the nearest other one, in radians, by cells of our own. */
function meanNearest({ x, y, z }: Points): number {
  const at = (v: number) => Math.floor((v + 1) / CELL);
  const side = at(1) + 3;
  const cells = new Map<number, number[]>();
  const key = (i: number, j: number, k: number) => ((i + 1) * side + j + 1) * side + k + 1;
  for (let i = 0; i < x.length; i++) {
    const own = key(at(x[i]!), at(y[i]!), at(z[i]!));
    const there = cells.get(own);
    if (there) there.push(i);
    else cells.set(own, [i]);
  }
  let sum = 0;
  for (let i = 0; i < x.length; i++) {
    let best = Infinity;
    const [a, b, c] = [at(x[i]!), at(y[i]!), at(z[i]!)];
    for (let da = -1; da <= 1; da++)
      for (let db = -1; db <= 1; db++)
        for (let dc = -1; dc <= 1; dc++)
          for (const j of cells.get(key(a + da, b + db, c + dc)) ?? [])
            if (j !== i) best = Math.min(best, (x[i]! - x[j]!) ** 2 + (y[i]! - y[j]!) ** 2 + (z[i]! - z[j]!) ** 2); // prettier-ignore
    // farther than a cell: as if at its rim, which few are
    sum += 2 * Math.asin(Math.min(CELL, Math.sqrt(best)) / 2);
  }
  return sum / x.length;
}

/** mulberry32, as published by its author: chance of its own, not the product's. */
function chance(seed: number): () => number {
  let a = seed;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** North galactic pole of J2000 (192.859 48, +27.128 25 degrees; Perryman and others, ESA SP-1200, 1997, section 1.5.3). */
const POLE = (() => {
  const [ra, dec] = [(192.85948 * Math.PI) / 180, (27.12825 * Math.PI) / 180];
  return [Math.cos(dec) * Math.cos(ra), Math.cos(dec) * Math.sin(ra), Math.sin(dec)] as const;
})();

test("stars of the sky stand to each other like chance, very slightly clumped: 0.98 of a chance field that keeps each star's galactic latitude", async () => {
  const { stars } = await loadCatalog();
  const rows = [...stars.x.keys()].filter((i) => stars.magnitudeCenti[i]! <= 100 * FAINTEST);
  const own: Points = {
    x: Float64Array.from(rows, (i) => stars.x[i]!),
    y: Float64Array.from(rows, (i) => stars.y[i]!),
    z: Float64Array.from(rows, (i) => stars.z[i]!),
  };
  const random = chance(15545);
  // two directions across the pole
  const length = Math.hypot(POLE[0], POLE[1]);
  const e1 = [-POLE[1] / length, POLE[0] / length, 0] as const;
  const e2 = [-POLE[2] * e1[1], POLE[2] * e1[0], POLE[0] * e1[1] - POLE[1] * e1[0]] as const;
  const fields = Array.from({ length: FIELDS }, () => {
    const field: Points = { x: new Float64Array(rows.length), y: new Float64Array(rows.length), z: new Float64Array(rows.length) }; // prettier-ignore
    for (let i = 0; i < rows.length; i++) {
      const sin = own.x[i]! * POLE[0] + own.y[i]! * POLE[1] + own.z[i]! * POLE[2];
      const cos = Math.sqrt(Math.max(0, 1 - sin * sin));
      const turn = 2 * Math.PI * random();
      const [u, v] = [cos * Math.cos(turn), cos * Math.sin(turn)];
      field.x[i] = sin * POLE[0] + u * e1[0] + v * e2[0];
      field.y[i] = sin * POLE[1] + u * e1[1] + v * e2[1];
      field.z[i] = sin * POLE[2] + u * e1[2] + v * e2[2];
    }
    return meanNearest(field);
  });
  const byChance = fields.reduce((sum, f) => sum + f, 0) / FIELDS;
  const ratio = meanNearest(own) / byChance;
  console.log(`${rows.length} stars to V ${FAINTEST}: ${ratio.toFixed(4)} of chance`);
  // Clark and Evans 1954: over a few degrees the sky is flat, and chance has 0.5 per root of the density; the sky is
  // thicker along the Milky Way, so that the mean lies a little below that of an even one
  const even = 0.5 / Math.sqrt(rows.length / (4 * Math.PI));
  expect(byChance / even).toBeGreaterThan(0.95);
  expect(byChance / even).toBeLessThan(1.02);
  expect(ratio).toBeGreaterThan(0.97);
  expect(ratio).toBeLessThan(0.99);
});
