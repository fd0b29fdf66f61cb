import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  type PlanView,
  fitted,
  panned,
  planTransform,
  type PointPx,
  toPlan,
  toScreen,
  zoomed,
} from "../../../src/app/stage/planView.ts";
import { bearingOnScreen, compassFrame } from "../../../src/app/stage/compass.ts";
import { wallMark } from "../../../src/app/stage/wallMark.ts";

const planView: PlanView = {
  side: "back",
  pxPerMm: 0.1,
  centreMm: [2000, 1500],
  widthPx: 800,
  heightPx: 600,
};
const face: PlanView = { ...planView, side: "face" };
const planViews = fc.record({
  side: fc.constantFrom("back" as const, "face" as const),
  pxPerMm: fc.double({ min: 0.01, max: 5, noNaN: true }),
  centreMm: fc.tuple(fc.integer({ min: -9000, max: 9000 }), fc.integer({ min: -9000, max: 9000 })),
  widthPx: fc.constant(800),
  heightPx: fc.constant(600),
});
const points = fc.tuple(fc.integer({ min: -9999, max: 9999 }), fc.integer({ min: -9999, max: 9999 }));
const near = (a: readonly number[], b: readonly number[], by = 1e-6): void => {
  expect(Math.abs(a[0]! - b[0]!)).toBeLessThan(by);
  expect(Math.abs(a[1]! - b[1]!)).toBeLessThan(by);
};

describe("the drawing's planView", () => {
  test("from above +X is right and +Y is up; looking up +X is left", () => {
    const at = (c: PlanView, p: [number, number]): PointPx => toScreen(c, p);
    expect(at(planView, [2100, 1500])).toEqual([410, 300]);
    expect(at(planView, [2000, 1600])).toEqual([400, 290]);
    expect(at(face, [2100, 1500])).toEqual([390, 300]);
    expect(at(face, [2000, 1600])).toEqual([400, 290]);
  });

  test("screen and plan are inverse, and the SVG transform says the same", () => {
    fc.assert(
      fc.property(planViews, points, (c, p) => {
        near(toPlan(c, toScreen(c, p)), p, 1e-6);
        const m = planTransform(c)
          .match(/-?[\d.e+-]+/g)!
          .map(Number);
        near([m[0]! * p[0] + m[4]!, m[3]! * p[1] + m[5]!], toScreen(c, p), 1e-4);
      }),
    );
  });

  test("zooming holds the point under the hand; panning moves the picture by the pixels asked for", () => {
    fc.assert(
      fc.property(planViews, points, fc.double({ min: 0.3, max: 3, noNaN: true }), (c, p, factor) => {
        const at = toScreen(c, p);
        near(toScreen(zoomed(c, factor, at), p), at, 1e-4);
        near(toScreen(panned(c, 30, -20), p), [at[0] + 30, at[1] - 20], 1e-4);
      }),
    );
  });

  test("the whole box lies inside the margins, on both sides", () => {
    for (const c of [planView, face]) {
      const box = { min: [0, 0] as [number, number], max: [5334, 4064] as [number, number] };
      const shown = fitted(c, box, { top: 100, right: 20, bottom: 60, left: 40 });
      for (const corner of [box.min, box.max]) {
        const [x, y] = toScreen(shown, corner);
        expect(x).toBeGreaterThanOrEqual(40 - 1e-6);
        expect(x).toBeLessThanOrEqual(780 + 1e-6);
        expect(y).toBeGreaterThanOrEqual(100 - 1e-6);
        expect(y).toBeLessThanOrEqual(540 + 1e-6);
      }
    }
  });
});

describe("the compass on the drawing", () => {
  test("with north up, east is right from above and left looking up", () => {
    near(bearingOnScreen(0, 0, "back"), [0, -1]);
    near(bearingOnScreen(90, 0, "back"), [1, 0]);
    near(bearingOnScreen(90, 0, "face"), [-1, 0]);
  });

  test("where the plan's top points east, north is to the left from above", () => {
    near(bearingOnScreen(0, 90, "back"), [-1, 0]);
    near(bearingOnScreen(0, 90, "face"), [1, 0]);
  });

  test("the frame's marks lie on the frame, 72 of them, N where north is", () => {
    const marks = compassFrame({
      middle: [400, 300],
      halfWidth: 200,
      halfHeight: 100,
      bearingDeg: 0,
      side: "back",
    });
    expect(marks).toHaveLength(72);
    for (const { from } of marks) {
      const onFrame = Math.max(Math.abs(from[0] - 400) / 200, Math.abs(from[1] - 300) / 100);
      expect(onFrame).toBeCloseTo(1, 9);
    }
    near(marks.find((m) => m.letter === "N")!.from, [400, 200]);
  });
});

describe("words along the walls", () => {
  const room: [number, number][] = [
    [0, 0],
    [4000, 0],
    [4000, 3000],
    [0, 3000],
  ];
  for (const c of [planView, face]) {
    for (const outline of [room, room.toReversed()]) {
      test(`outside the room and upright (${c.side}, ${outline === room ? "counter-" : ""}clockwise)`, () => {
        const middle = toScreen(c, [2000, 1500]);
        outline.forEach((from, i) => {
          const to = outline[(i + 1) % 4]!;
          const mark = wallMark({
            outline,
            from: toScreen(c, from),
            to: toScreen(c, to),
            side: c.side,
            name: "street wall",
            length: "13' 4\"",
          });
          expect(mark.turnDeg).toBeGreaterThanOrEqual(-90);
          expect(mark.turnDeg).toBeLessThan(90);
          // Where the first line of text ends up, compared with the wall it belongs to.
          const rad = (mark.turnDeg * Math.PI) / 180;
          const lineY = mark.lengthY - 5;
          const text: PointPx = [mark.x - lineY * Math.sin(rad), mark.y + lineY * Math.cos(rad)];
          const distance = (p: PointPx): number => Math.hypot(p[0] - middle[0], p[1] - middle[1]);
          expect(distance(text)).toBeGreaterThan(distance([mark.x, mark.y]));
        });
      });
    }
  }

  test("a word longer than its wall is left out", () => {
    const mark = wallMark({
      outline: room,
      from: [0, 0],
      to: [50, 0],
      side: "back",
      name: "chimney breast, west",
      length: "1' 0\"",
    });
    expect(mark.nameShown).toBe(false);
    expect(mark.lengthShown).toBe(true);
  });
});
