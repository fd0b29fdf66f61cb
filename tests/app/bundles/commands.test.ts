import { describe, expect, test } from "vitest";
import {
  addEngine,
  describeEngine,
  freeLetter,
  letterEngine,
  moveEngine,
  removeEngine,
  setEngineNumber,
} from "../../../src/app/state/commands/bundles/engines.ts";
import {
  addKitRow,
  copyKit,
  kitRows,
  removeKitRow,
  setKitRow,
} from "../../../src/app/parts/bundles/commands/kits.ts";
import {
  setChannels,
  setCompensate,
  setLabelSheet,
  setLabelSkip,
  setLoss,
  setTwinkle,
  shiftLabels,
} from "../../../src/app/state/commands/bundles/light.ts";
import {
  fixTiles,
  freeAllTiles,
  keepSharing,
  setCutLengths,
  setMode,
  setSharing,
} from "../../../src/app/state/commands/bundles/sharing.ts";
import {
  addObstacle,
  buildingBeyond,
  describeObstacle,
  moveObstacle,
  moveObstacleCorner,
  removeObstacle,
  setBuilding,
} from "../../../src/app/state/commands/bundles/void.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import { tileOwners, wholeOwners } from "../../../src/app/stage/engines/tileOwners.ts";
import type { Bundles } from "../../../src/bundles/types.ts";
import { readJob } from "../../../src/job/read.ts";
import type { Job } from "../../../src/job/schema.ts";
import { writeJob } from "../../../src/job/write.ts";
import { demoJob } from "../demoJob.ts";

/** What a command leaves behind has to be a job that the document's schema takes, unchanged. */
const sound = (job: Job): Job => {
  expect(readJob(writeJob(job)).job).toEqual(job);
  return job;
};

describe("engines", () => {
  test("a new one takes the next free letter and is like the one before it; it moves on whole micrometres", () => {
    const job = demoJob();
    const edit = addEngine(job, [100.00049, 200]);
    expect(edit.name).toBe("Add engine D");
    const added = sound(edit.job).bundles.engines.at(-1)!;
    expect(added).toMatchObject({
      letter: "D",
      atMm: [100, 200],
      capacity: job.bundles.engines[2]!.capacity,
    });
    const moved = moveEngine(edit.job, 3, [-12.3456, 5]);
    expect(moved.name).toBe("Move engine D");
    expect(sound(moved.job).bundles.engines[3]!.atMm).toEqual([-12.346, 5]);
    expect(() => moveEngine(job, 0, [61_000, 0])).toThrow("more than 60 m");
    expect(() => moveEngine(job, 9, [0, 0])).toThrow(Refusal);
  });

  test("letters run A to Z, then AA", () => {
    let job = demoJob();
    for (let i = 3; i < 28; i++) job = addEngine(job, [0, 0]).job;
    expect(job.bundles.engines.map((e) => e.letter).slice(-3)).toEqual(["Z", "AA", "AB"]);
    expect(freeLetter(removeEngine(job, 1).job.bundles)).toBe("B");
    sound(job);
  });

  test("another letter takes kit and fixed tiles along; a taken or foreign one is refused", () => {
    const job = fixTiles(demoJob(), ["C4", "D4"], "A").job;
    const next = sound(letterEngine(job, 0, " x ").job);
    expect(kitRows(next, "X")).toEqual(kitRows(job, "A").map((row) => ({ ...row })));
    expect(next.bundles.fixed).toEqual({ C4: "X", D4: "X" });
    expect(() => letterEngine(job, 0, "b")).toThrow("There is an engine B already");
    expect(() => letterEngine(job, 0, "A1")).toThrow("one or two letters");
  });

  test("taken away with its kit, its tiles free again", () => {
    const job = fixTiles(fixTiles(demoJob(), ["C4"], "A").job, ["D4"], "B").job;
    const next = sound(removeEngine(job, 0).job);
    expect(next.bundles.engines.map((e) => e.letter)).toEqual(["B", "C"]);
    expect(kitRows(next, "A")).toEqual([]);
    expect(next.bundles.fixed).toEqual({ D4: "B" });
  });

  test("numbers keep to the document's bounds", () => {
    const job = demoJob();
    expect(sound(setEngineNumber(job, 0, "capacity", 700.4).job).bundles.engines[0]!.capacity).toBe(700);
    expect(() => setEngineNumber(job, 0, "capacity", 0)).toThrow("from 1 to 20000");
    expect(() => setEngineNumber(job, 0, "reachM", NaN)).toThrow(Refusal);
    expect(
      sound(describeEngine(job, 0, { heightMm: null, place: "rack" }).job).bundles.engines[0],
    ).toMatchObject({ heightMm: null, place: "rack" });
    expect(() => describeEngine(job, 0, { heightMm: -1 })).toThrow(Refusal);
  });
});

describe("kits", () => {
  test("rows are added, changed, copied; without its last row an engine is fed from reels", () => {
    let job = addEngine(demoJob(), [0, 0]).job;
    expect(kitRows(job, "D")).toEqual([]);
    job = sound(addKitRow(job, "D").job);
    job = setKitRow(job, kitRows(job, "D")[0]!, "count", 540).job;
    job = sound(setKitRow(job, kitRows(job, "D")[0]!, "lengthM", 4.5).job);
    expect(kitRows(job, "D")).toMatchObject([{ diameterMm: 0.75, count: 540, lengthM: 4.5 }]);
    expect(() => setKitRow(job, kitRows(job, "D")[0]!, "diameterMm", 0)).toThrow("from 0.1 to 10");
    const reels = removeKitRow(job, kitRows(job, "D")[0]!);
    expect(reels.name).toBe("Feed engine D from reels");
    expect(sound(reels.job).bundles.kits.some((kit) => kit.engine === "D")).toBe(false);
    const copied = sound(copyKit(job, "A", "D").job);
    const plain = (letter: string) =>
      kitRows(copied, letter).map(({ diameterMm, count, lengthM }) => [diameterMm, count, lengthM]);
    expect(plain("D")).toEqual(plain("A"));
    expect(() => copyKit(reels.job, "D", "A")).toThrow("no kit to copy");
  });
});

describe("sharing out", () => {
  test("tiles are fixed, freed, and all kept as they are", () => {
    const job = demoJob();
    const fixed = fixTiles(job, ["C4"], "B");
    expect(fixed.name).toBe("Fix tile C4 to B");
    expect(sound(fixed.job).bundles.fixed).toEqual({ C4: "B" });
    expect(fixTiles(fixed.job, ["C4"], "B").job).toBe(fixed.job);
    expect(fixTiles(fixed.job, ["C4"], null).job.bundles.fixed).toEqual({});
    expect(() => fixTiles(job, ["C4"], "Q")).toThrow("no engine Q");
    const kept = keepSharing(fixed.job, new Map([["D4", "A"]]));
    expect(sound(kept.job).bundles.fixed).toEqual({ C4: "B", D4: "A" });
    expect(freeAllTiles(kept.job).job.bundles.fixed).toEqual({});
  });

  test("modes, weights and lengths", () => {
    const job = demoJob();
    expect(sound(setMode(job, "equal-parts").job).bundles.mode).toBe("equal-parts");
    expect(sound(setSharing(job, "tileSlackM", 0.45678).job).bundles.tileSlackM).toBe(0.457);
    expect(() => setSharing(job, "portFill", 0.95)).toThrow("from 0.1 to 0.9");
    expect(sound(setCutLengths(job, "5, 2; 3.5 2").job).bundles.cutLengthsM).toEqual([2, 3.5, 5]);
    expect(setCutLengths(job, "2,5 4").job.bundles.cutLengthsM).toEqual([2.5, 4]);
    expect(() => setCutLengths(job, "about two")).toThrow("lengths in metres");
    expect(() => setCutLengths(job, "0")).toThrow(Refusal);
  });

  test("who has a tile, with what of it stays dark; split or dark tiles are not whole", () => {
    const tail = (tile: string, engine: string, count: number) => ({
      tile,
      engine,
      lots: [{ diameterMm: 1, lengthM: 5, count }],
    });
    const bundles = {
      tails: [tail("A1", "A", 7), tail("A2", "A", 3), tail("A2", "B", 4), tail("A3", "B", 5)],
      unlit: [{ hole: 9, tile: "A3", why: "" }],
    } as unknown as Bundles;
    const owners = tileOwners(bundles);
    expect(owners.get("A2")).toEqual({ letters: ["A", "B"], strands: 7, dark: 0 });
    expect(owners.get("A3")).toEqual({ letters: ["B"], strands: 5, dark: 1 });
    expect([...wholeOwners(bundles)]).toEqual([["A1", "A"]]);
  });
});

describe("the void", () => {
  test("an obstacle is drawn, moved, resized square, described, removed", () => {
    let job = sound(addObstacle(demoJob(), [500, 900], [100, 200]).job);
    const index = job.bundles.obstacles.length - 1;
    const shape = () => job.bundles.obstacles[index]!.polygonMm;
    expect(shape()).toEqual([[100, 200], [500, 200], [500, 900], [100, 900]]); // prettier-ignore
    job = moveObstacle(job, index, [10, -20]).job;
    expect(shape()[0]).toEqual([110, 180]);
    job = sound(moveObstacleCorner(job, index, 2, [700, 1000]).job);
    expect(shape()).toEqual([[110, 180], [700, 180], [700, 1000], [110, 1000]]); // prettier-ignore
    expect(() => moveObstacleCorner(job, index, 2, [112, 1000])).toThrow("leave nothing");
    job = sound(describeObstacle(job, index, { name: "duct", undersideMm: 120 }).job);
    expect(moveObstacle(job, index, [1, 0]).name).toBe("Move duct");
    expect(removeObstacle(job, index).job.bundles.obstacles).toHaveLength(index);
    const tapped = addObstacle(demoJob(), [0, 0]).job.bundles.obstacles.at(-1)!;
    expect(tapped.polygonMm[2]).toEqual([200, 200]);
  });

  test("how far the building reaches", () => {
    const job = sound(setBuilding(demoJob(), 1500).job);
    expect(buildingBeyond(job)).toBe(1500);
    expect(buildingBeyond(setBuilding(job, null).job)).toBeNull();
    expect(() => setBuilding(job, -1)).toThrow(Refusal);
  });
});

describe("light and labels", () => {
  test("loss, compensation, twinkle", () => {
    const job = demoJob();
    expect(sound(setLoss(job, 0.35).job).strands.lossDbPerM).toBe(0.35);
    expect(() => setLoss(job, -0.1)).toThrow(Refusal);
    expect(sound(setCompensate(job, true).job).bundles.compensateLength).toBe(true);
    expect(sound(setTwinkle(job, "wheel").job).bundles.twinkle.kind).toBe("wheel");
    expect(() => setChannels(job, 1)).toThrow("from 2 to 24");
  });

  test("labels: another sheet starts unused; shifts stay within the schema", () => {
    const job = setLabelSkip(demoJob(), 5).job;
    expect(sound(setLabelSheet(job, "70 x 37 mm, 3 x 8 on A4").job).bundles.labels).toMatchObject({
      skip: 0,
    });
    expect(sound(shiftLabels(job, 1, -1.25).job).bundles.labels.shiftMm).toEqual([0, -1.25]);
    expect(() => shiftLabels(job, 0, 21)).toThrow(Refusal);
  });
});
