import { describe, expect, it } from "vitest";
import {
  drawnDownFrom,
  drawnFrom,
  inverse,
  mapDirection,
  mapPoint,
  SIDE_WORDS,
  viewFrom,
  type Affine,
  type Side,
} from "../../src/ceiling/flip.ts";

/**
 * Three stars of Orion, J2000 RA in hours and declination in degrees (to the hundredth, as in any
 * catalogue; Hipparcos 27989, 25336, 24436).
 */
const BETELGEUSE = { raH: 5.92, decDeg: 7.41 };
const BELLATRIX = { raH: 5.42, decDeg: 6.35 };
const RIGEL = { raH: 5.24, decDeg: -8.2 };
const BOX = { minX: -100_000, minY: -200_000, maxX: 300_000, maxY: 250_000 };

type P = { x: number; y: number };
const turn = ([p, q, r]: P[]) => Math.sign((q!.x - p!.x) * (r!.y - p!.y) - (q!.y - p!.y) * (r!.x - p!.x));

/** East to the right, as on a floor plan; near the equator flat is good enough for handedness. */
const onPlan = [BETELGEUSE, BELLATRIX, RIGEL].map(({ raH, decDeg }) => ({
  x: Math.round((raH - 5.5) * 15 * 1000),
  y: decDeg * 1000,
}));
/** A printed sky chart has north up and east, the way of growing right ascension, on the LEFT. */
const onChart = [BETELGEUSE, BELLATRIX, RIGEL].map(({ raH, decDeg }) => ({
  x: -Math.round((raH - 5.5) * 15 * 1000),
  y: decDeg * 1000,
}));

describe("handedness, by Orion", () => {
  it("the face and looking up read like a sky chart, the back and the plan like a floor plan", () => {
    const face = onPlan.map((p) => mapPoint(viewFrom("face", BOX), p));
    const back = onPlan.map((p) => mapPoint(viewFrom("back", BOX), p));
    // On a chart Betelgeuse is upper left, Bellatrix upper right, Rigel lower right: clockwise.
    expect(turn(onChart)).toBe(-1);
    expect(turn(face)).toBe(turn(onChart));
    expect(turn(back)).toBe(-turn(onChart));
    // Looking up, Betelgeuse is left of Bellatrix, on the east side; from above it is right.
    expect(face[0]!.x).toBeLessThan(face[1]!.x);
    expect(back[0]!.x).toBeGreaterThan(back[1]!.x);
    // Rigel stays below in both: nothing is ever turned upside down.
    expect(face[2]!.y).toBe(onPlan[2]!.y);
  });

  // A reflected ceiling plan reads like the floor plan: with north up, east is right on plan, RCP and back; left looking up and on the face.
  it.each([
    ["back", 1, "RIGHT"],
    ["face", -1, "LEFT"],
  ] as const)("%s: east at %d, said as %s", (side, x, word) => {
    expect(mapDirection(viewFrom(side, BOX), { x: 1, y: 0 })).toEqual({ x, y: 0 });
    expect(mapDirection(viewFrom(side, BOX), { x: 0, y: 1 }).y).toBe(1);
    expect(SIDE_WORDS[side].check).toContain(word);
  });

  it("say BACK from above, FACE from below", () => {
    expect([SIDE_WORDS.back.flag, SIDE_WORDS.back.read]).toEqual(["BACK", "read from above"]);
    expect([SIDE_WORDS.face.flag, SIDE_WORDS.face.read]).toEqual(["FACE", "read from below"]);
  });
});

describe("maps", () => {
  const det = (m: Affine) => m.a * m.d - m.b * m.c;

  it("keep the box where it is, corner for corner", () => {
    expect(mapPoint(viewFrom("face", BOX), { x: -100_000, y: -200_000 })).toEqual({
      x: 300_000,
      y: -200_000,
    });
    expect(mapPoint(drawnFrom("back", BOX), { x: -100_000, y: -200_000 })).toEqual({ x: 0, y: 0 });
    expect(mapPoint(drawnFrom("face", BOX), { x: 300_000, y: 250_000 })).toEqual({ x: 0, y: 450_000 });
    expect(mapPoint(drawnDownFrom("back", BOX), { x: -100_000, y: 250_000 })).toEqual({ x: 0, y: 0 });
    expect(mapPoint(drawnDownFrom("face", BOX), { x: -100_000, y: 250_000 })).toEqual({ x: 400_000, y: 0 });
  });

  it("mirror exactly once for the face, and twice is nothing", () => {
    for (const side of ["back", "face"] satisfies Side[]) {
      expect(det(viewFrom(side, BOX))).toBe(side === "face" ? -1 : 1);
      expect(det(drawnDownFrom(side, BOX))).toBe(side === "face" ? 1 : -1);
      for (const map of [viewFrom, drawnFrom, drawnDownFrom]) {
        const m = map(side, BOX);
        for (const p of onPlan) expect(mapPoint(inverse(m), mapPoint(m, p))).toEqual(p);
      }
    }
    const face = viewFrom("face", BOX);
    for (const p of onPlan) expect(mapPoint(face, mapPoint(face, p))).toEqual(p);
    expect(() => inverse({ a: 1, b: 2, c: 2, d: 4, e: 0, f: 0 })).toThrow(RangeError);
  });
});
