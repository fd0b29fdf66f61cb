import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { parseLength } from "../../../src/job/units.ts";
import {
  moveCorner,
  nameWall,
  removeCorner,
  setOutline,
  setWallLength,
  splitWall,
  wallName,
  wallSpan,
} from "../../../src/app/state/commands/room.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import { bareRoom, demoJob } from "../demoJob.ts";

describe("the room's outline", () => {
  test("a wall typed in feet and inches: its opposite follows and the room stays square", () => {
    // 18' 3 1/2" = 219.5 in of 25.4 mm (international inch, 1959) = 5575.3 mm
    const typed = parseLength(`18' 3 1/2"`, "ft-in");
    const { job, name } = setWallLength(bareRoom(), 0, typed);
    expect(job.ceiling.outlineMm).toEqual([
      [0, 0],
      [5575.3, 0],
      [5575.3, 3657.6],
      [0, 3657.6],
    ]);
    expect(name).toBe("Set the length of wall 1");
  });

  test("in an L the change goes to the next wall that runs back", () => {
    const { job } = setWallLength(demoJob(), 0, 5334 + 300);
    const lengths = job.ceiling.outlineMm.map((_, i) =>
      Math.round(wallSpan(job.ceiling.outlineMm, i).lengthMm),
    );
    // harbour wall and the short wall opposite its end grow; street wall keeps its length
    expect(lengths).toEqual([5634, 2540, 1519, 1524, 4115, 4064]);
  });

  test("whatever wall of an L is set, it gets that length and every corner stays square", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 5 }), fc.integer({ min: 4200, max: 9000 }), (wall, mm) => {
        const { job } = setWallLength(demoJob(), wall, mm);
        const outline = job.ceiling.outlineMm;
        expect(wallSpan(outline, wall).lengthMm).toBeCloseTo(mm, 2);
        outline.forEach((_, i) => {
          const { along } = wallSpan(outline, i);
          expect(Math.min(Math.abs(along[0]), Math.abs(along[1]))).toBeLessThan(1e-6);
        });
        expect(Math.min(...outline.map((p) => p[0]))).toBe(0);
        expect(Math.min(...outline.map((p) => p[1]))).toBe(0);
      }),
    );
  });

  test("a length that no wall opposite can take up is refused", () => {
    expect(() => setWallLength(demoJob(), 0, 700)).toThrow(Refusal);
  });

  test("when the origin moves, everything in the room moves with it", () => {
    const job = demoJob();
    const further = job.ceiling.outlineMm.map(([x, y], i): [number, number] =>
      i === 0 || i === 5 ? [x - 500, y] : [x, y],
    );
    const { job: after } = setOutline(job, further);
    const head = (j: typeof job): readonly number[] => j.ceiling.noGo[0]!.circle!.centreMm;
    expect(head(after)[0]! - head(job)[0]!).toBe(500);
    expect(head(after)[1]).toBe(head(job)[1]);
    expect(after.ceiling.noGo[6]!.polygonMm![0]![0] - job.ceiling.noGo[6]!.polygonMm![0]![0]).toBe(500);
    expect(after.ceiling.noGo[7]!.rectangle!.cornerMm[0] - job.ceiling.noGo[7]!.rectangle!.cornerMm[0]).toBe(
      500,
    );
    expect(after.ceiling.outlineMm[0]).toEqual([0, 0]);
  });

  test("corners are added, moved and taken out; names stay with their walls", () => {
    const named = nameWall(bareRoom(), 2, " window ").job;
    const split = splitWall(named, 0).job;
    expect(split.ceiling.outlineMm).toHaveLength(5);
    expect(split.ceiling.outlineMm[1]).toEqual([2438.4, 0]);
    expect(wallName(split, 3)).toBe("window");
    const back = removeCorner(split, 1).job;
    expect(back.ceiling.outlineMm).toEqual(named.ceiling.outlineMm);
    expect(wallName(back, 2)).toBe("window");
    expect(moveCorner(split, 1, [2438.4, 300]).job.ceiling.outlineMm[1]).toEqual([2438.4, 300]);
  });

  test("a triangle loses no corner, and a room of two corners is refused", () => {
    const triangle = setOutline(bareRoom(), [
      [0, 0],
      [3000, 0],
      [0, 3000],
    ]).job;
    expect(() => removeCorner(triangle, 0)).toThrow(Refusal);
    expect(() =>
      setOutline(triangle, [
        [0, 0],
        [1, 1],
      ]),
    ).toThrow(Refusal);
  });

  test("the job given to a command is never changed", () => {
    const job = demoJob();
    const before = JSON.stringify(job);
    setWallLength(job, 0, 6000);
    moveCorner(job, 0, [-300, -300]);
    nameWall(job, 0, "other");
    expect(JSON.stringify(job)).toBe(before);
  });
});
