import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { castThrough, checkCast, type FourMarks } from "../../src/cast/cast.ts";
import { cornersOf, diagonalsMm, type FourCorners, middleOf } from "../../src/cast/corners.ts";
import { scaleByCard, scaleByLines, screenOffMm } from "../../src/cast/screen.ts";
import { toPicture, toPlan } from "../../src/photo/lens.ts";
import { FACTS } from "../../src/trade/facts.ts";

const SIZE = { widthPx: 1920, heightPx: 1080 };
const at = (xMm: number, yMm: number) => ({ xMm, yMm });
const px = (xPx: number, yPx: number) => ({ xPx, yPx });
const SQUARE: FourCorners = [at(0, 0), at(500, 0), at(500, 500), at(0, 500)];

/**
 * The projective map of the unit square onto a quadrangle in closed form: P. Heckbert, Fundamentals of Texture Mapping
 * and Image Warping, master's thesis, UCB/CSD 89/516, Berkeley 1989, section 2.2.3.
 */
function heckbert(q: FourMarks, u: number, v: number): [number, number] {
  const [p0, p1, p2, p3] = q;
  const sx = p0.xPx - p1.xPx + p2.xPx - p3.xPx;
  const sy = p0.yPx - p1.yPx + p2.yPx - p3.yPx;
  const [dx1, dx2] = [p1.xPx - p2.xPx, p3.xPx - p2.xPx];
  const [dy1, dy2] = [p1.yPx - p2.yPx, p3.yPx - p2.yPx];
  const det = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / det;
  const h = (dx1 * sy - sx * dy1) / det;
  const w = g * u + h * v + 1;
  const x = (p1.xPx - p0.xPx + g * p1.xPx) * u + (p3.xPx - p0.xPx + h * p3.xPx) * v + p0.xPx;
  const y = (p1.yPx - p0.yPx + g * p1.yPx) * u + (p3.yPx - p0.yPx + h * p3.yPx) * v + p0.yPx;
  return [x / w, y / w];
}

const jitter = fc.integer({ min: -120, max: 120 });
const quad = fc
  .tuple(jitter, jitter, jitter, jitter, jitter, jitter, jitter, jitter)
  .map((j): FourMarks => [px(500 + j[0], 200 + j[1]), px(1300 + j[2], 180 + j[3]), px(1350 + j[4], 900 + j[5]), px(480 + j[6], 880 + j[7])]); // prettier-ignore

describe("a tile thrown by a projector", () => {
  test("lies where Heckbert's closed form puts it, to a thousandth of a pixel, and back", () => {
    fc.assert(
      fc.property(quad, fc.nat(500), fc.nat(500), (marks, x, y) => {
        const lens = castThrough(SIZE, SQUARE, marks)!;
        const cast = toPicture(lens, x, y)!;
        const [u, v] = heckbert(marks, x / 500, y / 500);
        expect(Math.hypot(cast.xPx - u, cast.yPx - v)).toBeLessThan(1e-3);
        const back = toPlan(lens, cast.xPx, cast.yPx)!;
        expect(Math.hypot(back.xMm - x, back.yMm - y)).toBeLessThan(1e-6);
      }),
      { seed: 20261126, numRuns: 200 },
    );
  });

  test("one mark 10 px off its corner shows in the middle, by as much as crossing the diagonals by hand gives", () => {
    // the diagonals of (0,0) (1010,0) (1000,1000) (0,1000) cross at x = y = 1000 / (1 + 1000/1010) = 502.488: the cross is
    // cast 2.488 * sqrt(2) = 3.518 px from the tile's own, at about 2 px a millimetre
    const marks: FourMarks = [px(0, 0), px(1010, 0), px(1000, 1000), px(0, 1000)];
    const lens = castThrough(SIZE, SQUARE, marks)!;
    const cross = toPicture(lens, 250, 250)!;
    expect(cross.xPx).toBeCloseTo(502.4876, 3);
    expect(cross.yPx).toBeCloseTo(502.4876, 3);
    const { middleMm, residualMm } = checkCast(lens, SQUARE, px(500, 500), [707.1, 707.1]);
    expect(middleMm).toBeCloseTo(3.518 / 2, 1);
    expect(residualMm).toBe(middleMm);
  });

  test("nothing is known before the middle and both diagonals are; a tile out of square shows in its diagonals", () => {
    const marks: FourMarks = [px(0, 0), px(1000, 0), px(1000, 1000), px(0, 1000)];
    const lens = castThrough(SIZE, SQUARE, marks)!;
    expect(checkCast(lens, SQUARE, null, [707, 707]).residualMm).toBeNull();
    expect(checkCast(lens, SQUARE, px(500, 500), [707, null]).residualMm).toBeNull();
    const check = checkCast(lens, SQUARE, px(500, 500), [710, 704]);
    expect(check.diagonalsMm[0]).toBeCloseTo(710 - 500 * Math.SQRT2, 9);
    expect(check.residualMm).toBeCloseTo(500 * Math.SQRT2 - 704, 9);
  });

  test("marks that cross or lie on a line are refused", () => {
    expect(castThrough(SIZE, SQUARE, [px(0, 0), px(900, 900), px(900, 0), px(0, 900)])).toBeNull();
    expect(castThrough(SIZE, SQUARE, [px(0, 0), px(450, 0), px(900, 0), px(0, 900)])).toBeNull();
  });
});

describe("the corners of a tile", () => {
  const um = (...points: [number, number][]) => [points.map(([x, y]) => ({ x: 7_000_000 + x * 1000, y: 3_000_000 + y * 1000 }))]; // prettier-ignore
  const box = { minX: 7_000_000, minY: 3_000_000, maxX: 7_600_000, maxY: 3_400_000 };
  /** 600 x 400 with the upper right corner (seen from above) cut off askew. */
  const cut = { box, outline: um([0, 0], [600, 0], [600, 300], [450, 400], [0, 400]) };

  test("are those of the tile itself as it lies there, mirrored on the face", () => {
    expect(cornersOf(cut, "back")).toEqual([at(0, 0), at(600, 100), at(600, 400), at(0, 400)]);
    expect(cornersOf(cut, "face")).toEqual([at(0, 100), at(600, 0), at(600, 400), at(0, 400)]);
  });

  test("a triangle has not four", () => {
    expect(cornersOf({ box, outline: um([0, 0], [600, 0], [0, 400]) }, "back")).toBeNull();
  });

  test("diagonals and their crossing, by Pythagoras and by similar triangles", () => {
    expect(diagonalsMm([at(0, 0), at(300, 0), at(300, 400), at(0, 400)])).toEqual([500, 500]);
    // a trapezium of 200 above and 600 below: the diagonals cross at a quarter of its height from the short side
    const { xMm, yMm } = middleOf([at(200, 0), at(400, 0), at(600, 400), at(0, 400)]);
    expect([xMm, yMm]).toEqual([300, 100]);
  });
});

describe("a screen laid flat", () => {
  test("the card is that of ISO/IEC 7810, in millimetres and in its own inches (3.370 x 2.125)", () => {
    expect(Math.abs(FACTS.cardWidthMm.value - 3.37 * 25.4)).toBeLessThan(0.005);
    expect(Math.abs(FACTS.cardHeightMm.value - 2.125 * 25.4)).toBeLessThan(0.01);
    const scale = scaleByCard(4 * 85.6, 4 * 53.98, 1);
    expect(scale.acrossPxPerMm).toBeCloseTo(4, 12);
    expect(scale.upPxPerMm).toBeCloseTo(4, 12);
  });

  test("a card is too short to vouch for a tile of 600 mm to a millimetre; lines of 400 mm do", () => {
    expect(screenOffMm(scaleByCard(4 * 85.6, 4 * 53.98, 1), 600)).toBeGreaterThan(1);
    const scale = scaleByLines({ px: 1600, mm: 400 }, { px: 1204, mm: 301 });
    expect([scale.acrossPxPerMm, scale.upPxPerMm]).toEqual([4, 4]);
    expect(screenOffMm(scale, 600)).toBeLessThan(1);
  });
});
