import { describe, expect, test } from "vitest";
import { toPicture } from "../../src/photo/lens.ts";
import { Atlas, LEAST_ODDS, locate } from "../../src/photo/locate.ts";
import { chance, inFrame, seen } from "./darkroom.ts";
import { demoPlan, spotsSeen } from "./demo.ts";
import { hang, take } from "./truth.ts";

const { holes, input } = await demoPlan();
const atlas = new Atlas(input.places);

describe("finding the plan in a picture without help", () => {
  test.each([1, 4, 5, 7, 8])("pose of seed %i: slanted, turned, bent, a part of it", (seed) => {
    const random = chance(seed);
    const { dots } = hang(holes, random);
    const { pose } = take(random, holes);
    const found = locate(atlas, spotsSeen(dots, pose, random));
    expect(found).not.toBeNull();
    const off = holes.flatMap((hole, i) => {
      const truth = seen(pose, hole.xMm, hole.yMm);
      if (!truth || !inFrame(pose, truth)) return [];
      const at = toPicture(found!.lens, input.places[i]!.xMm, input.places[i]!.yMm)!;
      return [Math.hypot(at.xPx - truth.xPx, at.yPx - truth.yPx)];
    });
    expect(Math.max(...off)).toBeLessThan(2);
    expect(found!.log10Chance).toBeLessThan(LEAST_ODDS);
  });

  test.each([101])("a mirrored ceiling of seed %i is not taken for the plan", (seed) => {
    const random = chance(seed);
    const mirrored = holes.map((h) => ({ ...h, xMm: 4800 - h.xMm }));
    const { dots } = hang(mirrored, random);
    const told: number[] = [];
    const sighting = spotsSeen(dots, take(random, mirrored).pose, random);
    expect(locate(atlas, sighting, { onProgress: (share) => told.push(share) })).toBeNull();
    // somebody waits for it
    expect(told.length).toBeGreaterThan(20);
    expect(told).toEqual(told.toSorted((a, b) => a - b));
    expect(told.at(-1)).toBeLessThan(1);
  });

  test.each([201])("chance dots of seed %i are not taken for the plan", (seed) => {
    const random = chance(seed);
    const other = holes.map((h) => ({ ...h, xMm: 4800 * random(), yMm: 3600 * random() }));
    const { dots } = hang(other, random);
    expect(locate(atlas, spotsSeen(dots, take(random, other).pose, random))).toBeNull();
  });

  test("a fifth of the strands missing and a hundred lights too many do not hinder it", () => {
    const random = chance(7);
    const { dots } = hang(holes, random, { deadShare: 0.2 });
    const { pose } = take(random, holes, 0, 600);
    const sighting = spotsSeen(dots, pose, random, 100);
    expect(locate(atlas, sighting)).not.toBeNull();
    // work is counted, and a search with too little of it gives up
    expect(locate(atlas, sighting, { mostLooks: 10 })).toBeNull();
  });
});
