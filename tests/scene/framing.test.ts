import { ceilingHeightMm } from "../../src/job/assumed.ts";
import { describe, expect, test } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { makeCamera, toScreen, type Seat } from "../../src/scene/camera.ts";
import { lookAtFilling, wholeCeiling } from "../../src/scene/framing.ts";
import { seatBelow, seatsOf } from "../../src/scene/seats.ts";
import { fixtureJob } from "./fixture.ts";

const job = fixtureJob();
const ceiling = makeCeiling(job.ceiling);
const heightMm = ceilingHeightMm(job.ceiling);
const corners = job.ceiling.outlineMm as [number, number][];

const onScreen = (seat: Seat, widthPx: number, heightPx: number) => {
  const camera = makeCamera(seat, heightMm, widthPx, heightPx);
  return corners.map(([x, y]) => toScreen(camera, x, y, heightMm));
};

describe("a seat that looks straight up", () => {
  test("has the field by hand: half of 3657.6 mm x 16/9 with 3 % to spare, seen from 2400 mm below", () => {
    const seat = wholeCeiling(seatBelow(ceiling), ceiling, heightMm, 16 / 9);
    const half = 1828.8 * (16 / 9) * 1.03;
    expect(seat.fieldDeg).toBe(Math.ceil((2 * Math.atan(half / 2400) * 180) / Math.PI));
  });
  test.each([
    [1600, 1200],
    [1600, 1000],
    [1600, 900],
    [2100, 900],
    [900, 900],
  ])("sees all corners of the ceiling in %i x %i, and little else", (widthPx, heightPx) => {
    const whole = wholeCeiling(seatBelow(ceiling), ceiling, heightMm, widthPx / heightPx);
    const places = onScreen(whole, widthPx, heightPx).map((at) => at!);
    for (const [x, y] of places) {
      expect(x).toBeGreaterThan(0);
      expect(x).toBeLessThan(widthPx);
      expect(y).toBeGreaterThan(0);
      expect(y).toBeLessThan(heightPx);
    }
    const across = (Math.max(...places.map((p) => p[0])) - Math.min(...places.map((p) => p[0]))) / widthPx;
    const down = (Math.max(...places.map((p) => p[1])) - Math.min(...places.map((p) => p[1]))) / heightPx;
    expect(Math.max(across, down)).toBeGreaterThan(0.9);
  });
  test("any other seat stays as it is", () => {
    const aside = seatsOf(job, ceiling)[1]!;
    expect(wholeCeiling(aside, ceiling, heightMm, 1.5)).toEqual(aside);
  });
});

describe("a seat by a wall or in a corner", () => {
  test.each(seatsOf(job, ceiling).slice(1))("$name: the far edge lies low in the picture", (seat) => {
    const camera = makeCamera(seat, heightMm, 1600, 1000);
    const lowest = Math.max(
      ...Array.from({ length: 400 }, (_, i) => {
        const t = i / 100;
        const [a, b] = [corners[Math.floor(t)]!, corners[(Math.floor(t) + 1) % 4]!];
        const s = t - Math.floor(t);
        const at = toScreen(camera, a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1]), heightMm);
        return at === null || at[0] < 0 || at[0] > 1600 ? 0 : at[1];
      }),
    );
    expect(lowest).toBeGreaterThan(890);
    expect(lowest).toBeLessThan(930);
  });
  test("near the middle one looks straight up", () => {
    const place = { atMm: [2500, 1800] as [number, number], eyeMm: 1200, fieldDeg: 90 };
    expect(lookAtFilling(ceiling, heightMm, place)).toEqual([2500, 1800]);
  });
  test("a seat of the job without a spot to look at gets one, a chosen spot is kept", () => {
    const seats = [
      { name: "free", atMm: [600, 600] as [number, number] },
      { name: "fixed", atMm: [600, 600] as [number, number], lookAtMm: [700, 900] as [number, number] },
    ];
    const [free, fixed] = seatsOf(fixtureJob({ scene: { seats } }), ceiling);
    expect(fixed!.lookAtMm).toEqual([700, 900]);
    expect(free!.lookAtMm[0]).toBeGreaterThan(600);
    expect(free!.lookAtMm[1]).toBeGreaterThan(600);
  });
});
