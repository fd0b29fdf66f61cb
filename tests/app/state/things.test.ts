import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { makeCeiling } from "../../../src/ceiling/ceiling.ts";
import { zoneShape } from "../../../src/ceiling/zones.ts";
import { resizeBy, sizeHandles } from "../../../src/app/parts/survey/resize.ts";
import { shapeFor } from "../../../src/app/parts/survey/shapeFor.ts";
import { fittingChoice } from "../../../src/ceiling/presets.ts";
import {
  addThing,
  describeThing,
  duplicateThing,
  moveThing,
  placeThing,
  rectangleCorners,
  removeThing,
  reshapeThing,
  setForm,
  SMALLEST_MM,
  thingCentre,
  thingName,
} from "../../../src/app/state/commands/things.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import { bareRoom, demoJob } from "../demoJob.ts";

const sprinkler = fittingChoice("sprinkler")!;
const light = fittingChoice("luminaire")!;

describe("things to keep clear of", () => {
  test("added, named by kind and number, moved, described, copied, removed", () => {
    let job = bareRoom();
    const one = addThing(job, "sprinkler", shapeFor(sprinkler, [1000, 900]), 50);
    expect(one.name).toBe("Add sprinkler head 1");
    job = addThing(one.job, "sprinkler", shapeFor(sprinkler, [2000, 900]), 50).job;
    expect(thingName(job, 1)).toBe("Sprinkler head 2");
    const moved = moveThing(job, 0, [25.4, -10]);
    expect(moved.name).toBe("Move sprinkler head 1");
    expect(moved.job.ceiling.noGo[0]!.circle!.centreMm).toEqual([1025.4, 890]);
    expect(placeThing(job, 0, [300, 400]).job.ceiling.noGo[0]!.circle!.centreMm).toEqual([300, 400]);
    const named = describeThing(job, 0, { name: "head by the door" }).job;
    expect(moveThing(named, 0, [1, 0]).name).toBe("Move head by the door");
    expect(duplicateThing(named, 0, [300, 0]).job.ceiling.noGo[2]).toMatchObject({
      name: "",
      clearanceMm: 50,
    });
    expect(removeThing(job, 0).job.ceiling.noGo).toHaveLength(1);
    expect(() => moveThing(job, 7, [1, 1])).toThrow(Refusal);
  });

  test("a new form replaces the old one: never two shapes at once", () => {
    const job = addThing(bareRoom(), "other", shapeFor(light, [1000, 1000]), 25).job;
    const round = reshapeThing(job, 0, { circle: { centreMm: [1000, 1000], radiusMm: 80 } }).job.ceiling
      .noGo[0]!;
    expect(round.circle?.radiusMm).toBe(80);
    expect("rectangle" in round).toBe(false);
  });

  test("another form keeps the middle and the size", () => {
    const job = demoJob();
    const before = job.ceiling.noGo[0]!.circle!;
    const square = setForm(job, 0, "square");
    expect(square.name).toBe("Make head 1 rectangular");
    const { rectangle } = square.job.ceiling.noGo[0]!;
    expect(rectangle).toMatchObject({ sizeMm: [2 * before.radiusMm, 2 * before.radiusMm], turnDeg: 0 });
    const free = setForm(square.job, 0, "free").job;
    expect(free.ceiling.noGo[0]!.polygonMm).toHaveLength(4);
    expect(setForm(free, 0, "round").job.ceiling.noGo[0]!.circle).toEqual(before);
  });

  test("drawn from corner to corner in any direction", () => {
    expect(shapeFor(light, [500, 400], [100, 900])).toEqual({
      rectangle: { cornerMm: [100, 400], sizeMm: [400, 500], turnDeg: 0 },
    });
    expect(shapeFor(sprinkler, [0, 0], [30, 40])).toEqual({ circle: { centreMm: [0, 0], radiusMm: 50 } });
  });

  test("a fitting that fills a tile takes the tile under the tap, cut tiles as they are cut; dragged, all it passes", () => {
    const { ceiling } = demoJob();
    const made = makeCeiling(ceiling);
    const diffuser = fittingChoice("diffuser tile")!;
    const [one, two] = ["C3", "C4"].map((name) => made.tiles.find((tile) => tile.name === name)!.box);
    const middle = (box: typeof one): [number, number] => [
      (box!.minX + box!.maxX) / 2000,
      (box!.minY + box!.maxY) / 2000,
    ];
    const shape = shapeFor(diffuser, middle(one), null, made).rectangle!;
    expect(shape.cornerMm).toEqual([one!.minX / 1000, one!.minY / 1000]);
    expect(shape.sizeMm).toEqual([(one!.maxX - one!.minX) / 1000, (one!.maxY - one!.minY) / 1000]);
    const both = shapeFor(diffuser, middle(two), middle(one), made).rectangle!;
    expect(both.cornerMm[0] + both.sizeMm[0]).toBeCloseTo(two!.maxX / 1000, 6);
    expect(shapeFor(fittingChoice("downlight")!, [900, 900]).circle).toMatchObject({ radiusMm: 50 });
  });

  test("a turned rectangle's corners are those of the ceiling stage", () => {
    const rectangle = {
      cornerMm: [100, 200] as [number, number],
      sizeMm: [600, 300] as [number, number],
      turnDeg: 30,
    };
    const shape = zoneShape({ ...demoJob().ceiling.noGo[7]!, rectangle });
    const ours = rectangleCorners(rectangle);
    const theirs = shape[0]!.map((p) => [p.x / 1000, p.y / 1000]);
    for (const [x, y] of ours) {
      const nearest = Math.min(...theirs.map(([u, v]) => Math.hypot(x - u!, y - v!)));
      expect(nearest).toBeLessThan(0.002);
    }
  });

  test("pulling a corner of a turned rectangle leaves the opposite corner where it was", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 3 }),
        fc.integer({ min: -180, max: 180 }),
        fc.tuple(fc.integer({ min: -50, max: 50 }), fc.integer({ min: -50, max: 50 })),
        (handle, turnDeg, [dx, dy]) => {
          const rectangle = {
            cornerMm: [1000, 1000] as [number, number],
            sizeMm: [600, 400] as [number, number],
            turnDeg,
          };
          const job = addThing(bareRoom(), "luminaire", { rectangle }, 25).job;
          const corners = rectangleCorners(rectangle);
          const from = corners[handle]!;
          const to: [number, number] = [from[0] + dx, from[1] + dy];
          const after = rectangleCorners(resizeBy(job, 0, handle, to).job.ceiling.noGo[0]!.rectangle!);
          const far = (handle + 2) % 4;
          expect(
            Math.hypot(after[far]![0] - corners[far]![0], after[far]![1] - corners[far]![1]),
          ).toBeLessThan(0.01);
          expect(Math.hypot(after[handle]![0] - to[0], after[handle]![1] - to[1])).toBeLessThan(0.01);
        },
      ),
    );
  });

  test("a circle's handle sets its radius, a free form's corner its corner; nothing shrinks to a point", () => {
    const job = demoJob();
    const head = job.ceiling.noGo[0]!.circle!.centreMm;
    expect(resizeBy(job, 0, 0, [head[0], head[1] + 70]).job.ceiling.noGo[0]!.circle!.radiusMm).toBe(70);
    expect(resizeBy(job, 0, 0, head).job.ceiling.noGo[0]!.circle!.radiusMm).toBe(SMALLEST_MM);
    expect(resizeBy(job, 6, 2, [4300, 2200]).job.ceiling.noGo[6]!.polygonMm![2]).toEqual([4300, 2200]);
    expect(sizeHandles(job.ceiling.noGo[6]!)).toHaveLength(4);
    expect(thingCentre(job.ceiling.noGo[7]!)).toEqual([200, 2000]);
  });
});
