import { describe, expect, test } from "vitest";
import {
  addHole,
  decisionAbout,
  describeAdded,
  explainOmitted,
  forgetDecisions,
  freeStar,
  moveAdded,
  omitStar,
  pinStar,
} from "../../../src/app/parts/pattern/commands/hand.ts";
import {
  setPattern,
  setSeed,
  shuffleFiller,
  SETTINGS,
} from "../../../src/app/parts/pattern/commands/settings.ts";
import {
  addStrand,
  removeStrand,
  setStrandCount,
  setStrandDiameter,
  setStrandsToUse,
  strandsInStock,
  takeStock,
} from "../../../src/app/parts/pattern/commands/stock.ts";
import {
  setLargestHole,
  setLightExponent,
  setMostPerHole,
} from "../../../src/app/parts/pattern/commands/ladder.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import { documentSchema, type SchemaNode } from "../../../src/job/documentSchema.ts";
import { readJob } from "../../../src/job/read.ts";
import { writeJob } from "../../../src/job/write.ts";
import type { Job } from "../../../src/job/schema.ts";
import { bareRoom, demoJob } from "../demoJob.ts";

/** What a command made is a job that the command line reads too. */
function sound(job: Job): Job {
  expect(readJob(writeJob(job)).job).toEqual(job);
  return job;
}

describe("the stock of strands", () => {
  test("rows are added, changed and removed; every state is a job that reads back", () => {
    let job = demoJob();
    expect(strandsInStock(job.strands)).toBe(1680);
    job = sound(addStrand(job, 2, 12).job);
    expect(job.strands.stock.at(-1)).toEqual({ diameterMm: 2, count: 12 });
    job = sound(setStrandCount(job, 3, 7).job);
    const changed = setStrandDiameter(job, 3, 3);
    expect(changed.name).toBe("Change 2 mm strand to 3 mm");
    job = sound(changed.job);
    job = sound(removeStrand(job, 0).job);
    expect(job.strands.stock.map((s) => s.diameterMm)).toEqual([1, 1.5, 3]);
    expect(sound(setStrandsToUse(job, 250).job).strands.use).toBe(250);
    expect(sound(setStrandsToUse(job, null).job).strands.use).toBeNull();
  });

  test("what the document forbids is refused in words", () => {
    const job = demoJob();
    expect(() => addStrand(job, 0.75, 5)).toThrow("There is a row for 0.75 mm already");
    expect(() => setStrandDiameter(job, 1, 1.5)).toThrow(Refusal);
    expect(setStrandDiameter(job, 1, 1).job.strands.stock).toEqual(job.strands.stock);
    expect(() => addStrand(job, 11, 5)).toThrow("from 0.1 to 10 mm");
    expect(() => setStrandCount(job, 0, -1)).toThrow(Refusal);
    expect(() => setStrandCount(job, 0, 2.5)).toThrow("a whole number");
    expect(() => setStrandsToUse(job, 0)).toThrow(Refusal);
    const one = { ...job, strands: { ...job.strands, stock: [{ diameterMm: 1, count: 3 }] } };
    expect(() => removeStrand(one, 0)).toThrow("One diameter has to stay");
    expect(() => setStrandCount(one, 0, 0)).toThrow("At least one strand");
    expect(() => removeStrand(job, 9)).toThrow("no longer in the stock");
  });
});

describe("the rules of settling", () => {
  test("bounds are those of the published schema", () => {
    const pattern = (documentSchema().properties as Record<string, SchemaNode>)["pattern"]!;
    for (const [key, { min, max }] of Object.entries(SETTINGS)) {
      const node = (pattern.properties as Record<string, SchemaNode>)[key]!;
      const number = [node, ...((node.anyOf as SchemaNode[] | undefined) ?? [])].find(
        (n) => n.minimum !== undefined,
      )!;
      expect([key, number.minimum, number.maximum]).toEqual([key, min, max]);
    }
  });

  test("a setting is kept to its decimals, changes nothing when it is the same, and merges with itself", () => {
    const job = demoJob();
    const edit = setPattern(job, "evenness", 0.30000000000000004);
    expect(edit.job.pattern.evenness).toBe(0.3);
    expect(edit.merge).toBe(setPattern(job, "evenness", 0.5).merge);
    expect(edit.merge).not.toBe(setPattern(job, "reachMm", 5).merge);
    expect(setPattern(job, "reachMm", job.pattern.reachMm).job).toBe(job);
    expect(sound(setPattern(job, "faintestMagnitude", 5.25).job).pattern.faintestMagnitude).toBe(5.25);
    expect(sound(setPattern(job, "faintestMagnitude", null).job).pattern.faintestMagnitude).toBeNull();
    expect(() => setPattern(job, "spacingMm", 1)).toThrow("The smallest spacing goes from 2 to 200.");
    expect(() => setPattern(job, "spacingMm", NaN)).toThrow(Refusal);
    expect(() => setPattern(job, "milkyWay", null)).toThrow(Refusal);
  });

  test("shuffling counts the seed on and comes round at the end", () => {
    const job = demoJob();
    expect(shuffleFiller(job).job.pattern.seed).toBe(job.pattern.seed + 1);
    const last = setSeed(job, 2 ** 31 - 1).job;
    expect(sound(shuffleFiller(last).job).pattern.seed).toBe(0);
    expect(() => setSeed(job, 2 ** 31)).toThrow(Refusal);
    expect(() => setSeed(job, 1.5)).toThrow(Refusal);
  });
});

describe("decisions by hand", () => {
  test("a star is pinned or omitted once: the newer decision takes the place of the older", () => {
    const job = bareRoom();
    const pinned = pinStar(job, 91262, [1200.00049, 800], [1188, 795], "Vega");
    expect(pinned.name).toBe("Pin Vega");
    const at = decisionAbout(pinned.job, 91262);
    expect(pinned.job.pattern.byHand[at]).toEqual({
      do: "pin",
      what: 91262,
      night: job.sky.chosen,
      offsetMm: [12, 5],
    });
    const again = sound(pinStar(pinned.job, 91262, [1300, 800], [1188, 795], "Vega").job);
    expect(again.pattern.byHand).toHaveLength(pinned.job.pattern.byHand.length);
    const out = sound(omitStar(again, 91262, "Vega", " behind the lamp ").job);
    expect(out.pattern.byHand[at]).toEqual({ do: "omit", what: 91262, why: "behind the lamp" });
    const why = sound(explainOmitted(out, at, "as agreed").job);
    expect(why.pattern.byHand[at]).toMatchObject({ why: "as agreed" });
    const free = freeStar(why, 91262, "Vega");
    expect(free.name).toBe("Let the program place Vega");
    expect(free.job.pattern.byHand).toEqual(job.pattern.byHand);
    expect(() => freeStar(job, 91262, "Vega")).toThrow("Nothing was decided about Vega.");
    expect(sound(pinStar(job, "moon", [10, 10], null, "Moon").job).pattern.byHand.at(-1)).toMatchObject({
      what: "moon",
    });
  });

  test("a hole of one's own is added, moved, named, given any strand, and forgotten", () => {
    const before = bareRoom();
    const index = before.pattern.byHand.length;
    let job = sound(addHole(before, [500, 600], 1.5).job);
    expect(job.pattern.byHand[index]).toEqual({ do: "add", atMm: [500, 600], diameterMm: 1.5, name: "" });
    job = sound(moveAdded(job, index, [510, 600]).job);
    job = sound(describeAdded(job, index, { name: " door star ", diameterMm: null }).job);
    expect(job.pattern.byHand[index]).toEqual({ do: "add", atMm: [510, 600], name: "door star" });
    expect(moveAdded(job, index, [1, 2]).name).toBe("Move door star");
    expect(forgetDecisions(job, [index]).name).toBe("Forget door star");
    expect(forgetDecisions(job, [index]).job.pattern.byHand).toEqual(before.pattern.byHand);
    expect(() => moveAdded(job, 0, [1, 1])).toThrow(Refusal);
    expect(() => forgetDecisions(job, [99])).toThrow(Refusal);
    expect("diameterMm" in addHole(before, [1, 1]).job.pattern.byHand.at(-1)!).toBe(false);
  });

  test("the document's limit on decisions is the studio's", () => {
    const job = bareRoom();
    const byHand = Array.from({ length: 5000 }, (_, i) => ({
      do: "add" as const,
      atMm: [i, 0] as [number, number],
      name: "",
    }));
    const full = { ...job, pattern: { ...job.pattern, byHand } };
    expect(() => addHole(full, [1, 1])).toThrow("At most 5000");
    sound(full);
  });
});

describe("the ladder of brightness", () => {
  test("is set within the bounds of the job, and off only by wish", () => {
    const job = demoJob();
    expect(job.strands.mostPerHole).toBe(7);
    expect(sound(setMostPerHole(job, 1).job).strands.mostPerHole).toBe(1);
    expect(() => setMostPerHole(job, 8)).toThrow(Refusal);
    expect(sound(setLargestHole(job, 4.5).job).strands.largestHoleMm).toBe(4.5);
    expect(() => setLargestHole(job, 0)).toThrow(Refusal);
    expect(sound(setLightExponent(job, 0.5).job).strands.lightExponent).toBe(0.5);
    expect(setLightExponent(setLightExponent(job, 0.5).job, null).job.strands.lightExponent).toBeNull();
    expect(() => setLightExponent(job, 2)).toThrow(Refusal);
  });

  test("a mix takes the place of the whole stock", () => {
    const job = setStrandsToUse(demoJob(), 900).job;
    const taken = takeStock(job, [{ diameterMm: 0.75, count: 400 }, { diameterMm: 2, count: 10 }], "a mix"); // prettier-ignore
    expect(taken.name).toBe("Take a mix");
    expect(sound(taken.job).strands).toMatchObject({ use: null, stock: [{ count: 400 }, { diameterMm: 2 }] });
  });
});
