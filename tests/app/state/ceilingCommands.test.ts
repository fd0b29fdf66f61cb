import { describe, expect, test } from "vitest";
import { makeCeiling } from "../../../src/ceiling/ceiling.ts";
import { MODULE_PRESETS } from "../../../src/ceiling/presets.ts";
import type { Job } from "../../../src/job/schema.ts";
import {
  bearingReading,
  setBearing,
  setBearingFacing,
  setNorth,
  wallReading,
} from "../../../src/app/state/commands/bearing.ts";
import {
  applyGridSystem,
  balanceBorders,
  setBorder,
  setEdgeKeepOut,
  setGridOrigin,
  setModule,
  setOpening,
  setTileSide,
} from "../../../src/app/state/commands/grid.ts";
import {
  explainTile,
  forgetTiles,
  readTileNames,
  tileUse,
  useTiles,
} from "../../../src/app/state/commands/tiles.ts";
import { answerSurvey, setDetail, setUnits } from "../../../src/app/state/commands/details.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import { bareRoom, demoJob } from "../demoJob.ts";

const wide = (job: Job, id: string): Job => {
  const preset = MODULE_PRESETS.find((p) => p.id === id)!;
  return applyGridSystem(job, preset).job;
};

describe("the grid", () => {
  test("an opening of 576 mm in a 600 module is a 24 mm tee", () => {
    const job = setOpening(wide(bareRoom(), "600x600"), 576).job;
    expect(job.ceiling.grid.teeFaceMm).toBe(24);
  });

  test("23 1/16 in of opening in a 24 in module is a 15/16 in tee", () => {
    const job = setOpening(wide(bareRoom(), "24x24in"), (23 + 1 / 16) * 25.4).job;
    expect(job.ceiling.grid.teeFaceMm).toBeCloseTo((15 / 16) * 25.4, 3);
  });

  test("a typed border is the border that the ceiling gets", () => {
    const job = balanceBorders(bareRoom()).job;
    const origin = makeCeiling(job.ceiling).grid.originMm;
    const left = setBorder(job, 0, 400, origin).job;
    expect(makeCeiling(left.ceiling).grid.bordersMm.left).toBeCloseTo(400, 6);
    const both = setBorder(left, 1, 350, makeCeiling(left.ceiling).grid.originMm).job;
    expect(makeCeiling(both.ceiling).grid.bordersMm).toMatchObject({ left: 400, bottom: 350 });
  });

  test("a crossing dragged anywhere is stored as the one nearest the lower left", () => {
    const job = setGridOrigin(bareRoom(), [609.6 * 3 + 100, -609.6 + 20]).job;
    const origin = job.ceiling.grid.originMm as [number, number];
    expect(origin[0]).toBeCloseTo(100, 6);
    expect(origin[1]).toBeCloseTo(20, 6);
  });

  test("a tile as large as its module is refused; another module drops the measured tile", () => {
    expect(() => setTileSide(bareRoom(), 0, 609.6)).toThrow(Refusal);
    const measured = setTileSide(setTileSide(bareRoom(), 1, null).job, 0, 602).job;
    // the other side was never typed, and is not known for that
    expect(measured.ceiling.grid.tileMm).toEqual([602, null]);
    expect(makeCeiling(measured.ceiling).grid.tileMm).toEqual([602, 603.25]);
    expect(setModule(measured, 0, 600).job.ceiling.grid.tileMm).toBeUndefined();
    expect("tileMm" in setTileSide(measured, 0, null).job.ceiling.grid).toBe(false);
    expect(
      setEdgeKeepOut(setEdgeKeepOut(measured, 20).job, undefined).job.ceiling.grid.edgeKeepOutMm,
    ).toBeUndefined();
  });
});

describe("tile uses", () => {
  test("brushed tiles get the use; back at stars they leave the list, unless a reason is written", () => {
    const brushed = useTiles(demoJob(), ["A1", "A2"], "fabric").job;
    expect(tileUse(brushed, "A1")).toBe("fabric");
    const why = explainTile(brushed, "A2", " access ").job;
    const back = useTiles(why, ["A1", "A2"], "stars").job;
    expect(Object.hasOwn(back.ceiling.tiles, "A1")).toBe(false);
    expect(back.ceiling.tiles["A2"]).toMatchObject({ use: "stars", why: "access" });
  });

  test("brushing what is so already changes nothing", () => {
    const job = demoJob();
    expect(useTiles(job, ["B7"], "fabric").job).toBe(job);
  });

  test("names like __proto__ are no tiles", () => {
    expect(readTileNames("c4, D5 e1-2", [])).toEqual(["C4", "D5", "E1-2"]);
    expect(readTileNames("__proto__", [])).toBeNull();
    expect(readTileNames("C4; <b>", [])).toBeNull();
    expect(tileUse(demoJob(), "constructor")).toBe("stars");
  });

  test("a range names every tile between its corners, with one reason for all", () => {
    const known = ["C9", "D7", "D8", "D9", "E7", "E8-1", "F9", "F10", "AD8"];
    expect(readTileNames("d9 to E7, c9", known)).toEqual(["C9", "D7", "D8", "D9", "E7", "E8-1"]);
    expect(readTileNames("F10-F9", known)).toEqual(["F9", "F10"]);
    const job = useTiles(demoJob(), ["A1", "A2"], "plain", "cable tray above").job;
    expect(job.ceiling.tiles["A2"]).toMatchObject({ use: "plain", why: "cable tray above" });
  });

  test("tiles that are gone are forgotten", () => {
    expect(Object.keys(forgetTiles(demoJob(), ["B7"]).job.ceiling.tiles)).toEqual(["F8"]);
  });
});

describe("the compass", () => {
  test("true = magnetic + declination, east positive (the definition of declination)", () => {
    const read = setNorth(setBearing(bareRoom(), 100).job, -17).job;
    expect(read.ceiling.bearingDeg).toBe(83);
    expect(bearingReading(read)).toEqual({ deg: 100, magnetic: true, declinationDeg: -17 });
    expect(setBearing(read, 10).job.ceiling.bearingDeg).toBe(353);
    expect(setNorth(read, null).job.ceiling).not.toHaveProperty("magneticDeclinationDeg");
    expect(setNorth(read, null).job.ceiling.bearingDeg).toBe(100);
  });

  test("facing a wall: the reading agrees with where the ceiling stage says the wall faces", () => {
    const job = setBearing(demoJob(), 341).job;
    const walls = makeCeiling(job.ceiling).walls;
    walls.forEach((wall, i) => expect(wallReading(job, i)).toBeCloseTo(wall.facingDeg, 2));
    const set = setBearingFacing(job, 1, 200).job;
    expect(makeCeiling(set.ceiling).walls[1]!.facingDeg).toBeCloseTo(200, 2);
  });

  test("the wall at the top of a plan whose top is north faces north", () => {
    const job = setBearing(bareRoom(), 0).job;
    expect([0, 1, 2, 3].map((wall) => wallReading(job, wall))).toEqual([180, 90, 0, 270]);
  });
});

describe("details", () => {
  test("a title can't be emptied; units change nothing that is stored", () => {
    expect(() => setDetail(demoJob(), "title", "  ")).toThrow(Refusal);
    expect(() => setDetail(demoJob(), "client", "x".repeat(201))).toThrow(Refusal);
    const job = demoJob();
    expect(setUnits(job, "mm").job.ceiling).toBe(job.ceiling);
    expect(answerSurvey(job, "builtYear", null).job.ceiling.survey.builtYear).toBeNull();
  });
});
