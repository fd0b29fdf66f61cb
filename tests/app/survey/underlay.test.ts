import { describe, expect, test } from "vitest";
import {
  layUnderlay,
  moveUnderlay,
  removeUnderlay,
  scaleUnderlay,
  showUnderlay,
  turnUnderlay,
} from "../../../src/app/parts/survey/commands/underlay.ts";
import { onPlan, underlayTransform } from "../../../src/app/stage/underlay.ts";
import { shiftRoom } from "../../../src/app/state/commands/shiftRoom.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import { readJob } from "../../../src/job/read.ts";
import { writeJob } from "../../../src/job/write.ts";
import { bareRoom } from "../demoJob.ts";

// the smallest WebP there is, as text; its size is told beside it and never read
const image = "data:image/webp;base64,UklGRiIAAABXRUJQVlA4IBYAAAAwAQCdASoBAAEADsD+JaQAA3AAAAAA";
/** A3 landscape at 400 dots to the 420 mm, as a plan in 1:50. */
const picture = { name: "plan.pdf, page 2", image, sizePx: [2000, 1414] as [number, number] };
const laid = () => layUnderlay(bareRoom(), picture).job;

describe("a plan to trace", () => {
  test("lies over the whole room at first, in its middle, upright", () => {
    const { underlay, ceiling } = laid();
    const xs = ceiling.outlineMm.map(([x]) => x);
    const middle = onPlan(underlay!, [1000, 707]);
    expect(middle[0]).toBeCloseTo((Math.min(...xs) + Math.max(...xs)) / 2, 2);
    expect(underlay!.mmPerPx * 2000).toBeGreaterThanOrEqual(Math.max(...xs) - 0.01);
    // up in the picture is up on the plan
    expect(onPlan(underlay!, [1000, 0])[1]).toBeGreaterThan(middle[1]);
  });

  test("two points and their distance: 1:50 on A3 is 10.5 mm a dot, whatever lean the scan had", () => {
    const leaning = turnUnderlay(laid(), { turnDeg: 3 }).job;
    // two corners of a wall of 6,400 mm: 128 mm on the paper, 609.52 dots of 0.21 mm
    const dots: [number, number][] = [[500, 900], [500 + 128 / 0.21, 900]]; // prettier-ignore
    const [from, to] = dots.map((p) => onPlan(leaning.underlay!, p)) as [[number, number], [number, number]];
    const { job } = scaleUnderlay(leaning, [from, to], { distanceMm: 6400, straight: true });
    expect(job.underlay!.mmPerPx).toBeCloseTo(0.21 * 50, 5);
    expect(job.underlay!.turnDeg).toBeCloseTo(0, 4);
    const [a, b] = dots.map((p) => onPlan(job.underlay!, p));
    expect(a![0]).toBeCloseTo(from[0], 2);
    expect(a![1]).toBeCloseTo(from[1], 2);
    expect(b![0] - a![0]).toBeCloseTo(6400, 1);
    expect(b![1]).toBeCloseTo(a![1], 1);
    const asItLies = scaleUnderlay(leaning, [from, to], { distanceMm: 6400, straight: false }).job.underlay!;
    expect(asItLies.turnDeg).toBe(3);
  });

  test("points on one another and sizes of no building are refused; a removed plan takes no command", () => {
    const job = laid();
    expect(() => scaleUnderlay(job, [[1, 1], [1, 1]], { distanceMm: 9, straight: true })).toThrow(Refusal); // prettier-ignore
    expect(() => scaleUnderlay(job, [[0, 0], [2, 0]], { distanceMm: 60_000, straight: true })).toThrow(Refusal); // prettier-ignore
    expect(() => moveUnderlay(removeUnderlay(job).job, [1, 1])).toThrow(Refusal);
    expect(() => showUnderlay(job, { opacity: 0 })).toThrow(Refusal);
  });

  test("goes with the room where the room's origin moves, and with the job through its file", () => {
    const job = laid();
    const corner = job.underlay!.cornerMm;
    const shifted = shiftRoom(job, -250, 40);
    expect(shifted.underlay!.cornerMm).toEqual([corner[0] - 250, corner[1] + 40]);
    expect(readJob(writeJob(shifted)).job.underlay).toEqual(shifted.underlay);
    expect(readJob(writeJob(bareRoom())).job.underlay).toBeNull();
  });

  test("another page of the same shape takes the place of the first", () => {
    const placed = moveUnderlay(showUnderlay(laid(), { shown: false }).job, [120, -80]).job;
    const other = layUnderlay(placed, { ...picture, name: "plan.pdf, page 3" }).job.underlay!;
    expect(other).toEqual({ ...placed.underlay!, name: "plan.pdf, page 3", shown: true });
  });

  test("SVG draws it where the commands say", () => {
    const { underlay } = turnUnderlay(laid(), { turnDeg: 33 }).job;
    const [a, b, c, d, e, f] = underlayTransform(underlay!).slice(7, -1).split(" ").map(Number) as number[];
    const [x, y] = onPlan(underlay!, [300, 700]);
    // matrix(a b c d e f) as SVG 2 defines it: x' = ax + cy + e
    expect(a! * 300 + c! * 700 + e!).toBeCloseTo(x, 6);
    expect(b! * 300 + d! * 700 + f!).toBeCloseTo(y, 6);
  });
});
