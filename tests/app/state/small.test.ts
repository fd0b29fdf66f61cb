import { firmOf, writeFirm } from "../../../src/job/firm.ts";
import { readFirm } from "../../../src/job/firmFile.ts";
import { describe, expect, test } from "vitest";
import { makeCeiling } from "../../../src/ceiling/ceiling.ts";
import { snap, snapStepMm, square } from "../../../src/app/stage/snap.ts";
import { tileBeside, tilesAlong, tileUnder } from "../../../src/app/stage/tileUnder.ts";
import { teeLines } from "../../../src/app/stage/gridLines.ts";
import { areaPath } from "../../../src/app/stage/paths.ts";
import { fileName } from "../../../src/app/state/files.ts";
import { newJob } from "../../../src/app/state/newJob.ts";
import { readNumber } from "../../../src/app/ui/readNumber.ts";
import { arrived, crossing } from "../../../src/app/worker/packedHoles.ts";
import { latest } from "../../../src/app/worker/latest.ts";
import { survey } from "../../../src/app/worker/survey.ts";
import { loadCatalog } from "../../../src/cli/catalogFiles.ts";
import { planJob } from "../../../src/work/planJob.ts";
import { readJob } from "../../../src/job/read.ts";
import { demoJob } from "../demoJob.ts";

const ceiling = makeCeiling(demoJob().ceiling);

describe("small pieces of the studio", () => {
  test("numbers as people type them", () => {
    expect(readNumber(" 12,5 ")).toBe(12.5);
    expect(readNumber("\u22123")).toBe(-3);
    expect(readNumber("1e5")).toBeNull();
    expect(readNumber("NaN")).toBeNull();
    expect(readNumber("")).toBeNull();
  });

  test("file names that no file system objects to", () => {
    expect(fileName("Ødegård & Søn: ../../etc")).toMatch(/^[\p{L}\p{N}-]+\.velarium\.json$/u);
    expect(fileName("???")).toBe("job.velarium.json");
    expect(fileName("x".repeat(300)).length).toBeLessThan(90);
  });

  test("the hand snaps to round sixteenths or millimetres that it can hit", () => {
    expect(snapStepMm("ft-in", 20)).toBeCloseTo(25.4 / 16, 9);
    expect(snapStepMm("ft-in", 0.08)).toBe(25.4);
    expect(snapStepMm("mm", 0.15)).toBe(10);
    expect(snap([13, 26], 25.4)).toEqual([25.4, 25.4]);
    expect(square([1003, 480], [[1000, 0]], 5)).toEqual([1000, 480]);
    expect(square([1010, 480], [[1000, 0]], 5)).toEqual([1010, 480]);
  });

  test("a fast stroke of the brush misses no tile in its row", () => {
    const row = ceiling.tiles.filter((t) => t.row === 5);
    const middle = (t: (typeof row)[number]): [number, number] => [
      (t.box.minX + t.box.maxX) / 2000,
      (t.box.minY + t.box.maxY) / 2000,
    ];
    const stroke = tilesAlong(ceiling, middle(row[0]!), middle(row.at(-1)!));
    expect(stroke.map((t) => t.name)).toEqual(row.map((t) => t.name));
    expect(tileUnder(ceiling, [-100, -100])).toBeNull();
  });

  test("arrow keys go from tile to tile and stop at the walls", () => {
    expect(tileBeside(ceiling, "A1", 1, 0)?.name).toBe("A2");
    expect(tileBeside(ceiling, "A1", 0, 1)?.name).toBe("B1");
    expect(tileBeside(ceiling, "A1", -1, 0)?.name).toBe("A1");
    expect(tileBeside(ceiling, "A7", 1, 0)?.name).toBe("A7");
  });

  test("tees run where tiles meet: 24 in apart, first after the 21 in border", () => {
    const lines = teeLines(ceiling, 0);
    expect(lines[0]).toBeCloseTo(21 * 25.4, 6);
    expect(lines[1]! - lines[0]!).toBeCloseTo(609.6, 6);
    expect(lines).toHaveLength(8);
  });

  test("paths are in millimetres", () => {
    const square = [
      { x: 0, y: 0 },
      { x: 1500, y: 0 },
      { x: 1500, y: 2000 },
    ];
    expect(areaPath([square])).toBe("M0 0L1.5 0L1.5 2Z");
    expect(areaPath([])).toBe("");
  });

  test("of many requests only the newest waits", async () => {
    const ran: number[] = [];
    const done: number[] = [];
    const ask = latest(
      (n: number) => Promise.resolve(ran.push(n)),
      (_, n) => done.push(n),
      () => undefined,
    );
    [1, 2, 3, 4].forEach(ask);
    await new Promise((r) => setTimeout(r, 10));
    expect(ran).toEqual([1, 4]);
    expect(done).toEqual([1, 4]);
  });

  test("a failed request is said and the next still runs", async () => {
    const failed: unknown[] = [];
    const done: number[] = [];
    const ask = latest(
      (n: number) => (n === 1 ? Promise.reject(new Error("x")) : Promise.resolve(n)),
      (r) => done.push(r),
      (e) => failed.push(e),
    );
    ask(1);
    ask(2);
    await new Promise((r) => setTimeout(r, 10));
    expect(failed).toHaveLength(1);
    expect(done).toEqual([2]);
  });

  test("a new room is a sound job with what the firm keeps, and with nothing of the last client's", () => {
    const usual = { ...structuredClone(demoJob()), firmAddress: "Quay 3", client: "A private client" };
    usual.takeoff.prices = { ...usual.takeoff.prices, currency: "CAD", hour: 61 };
    const firm = readFirm(writeFirm(firmOf(usual)));
    const outlineMm: [number, number][] = [
      [0, 0],
      [4000, 0],
      [4000, 3000],
      [0, 3000],
    ];
    const ceiling = { outlineMm, grid: { moduleMm: [600, 600] as [number, number] } };
    const { job } = readJob(JSON.stringify(newJob("Bedroom", ceiling, firm)));
    expect(job.ceiling.noGo).toEqual([]);
    expect(job.strands).toEqual(usual.strands);
    expect(job).toMatchObject({
      firm: usual.firm,
      firmAddress: "Quay 3",
      units: usual.units,
      client: "",
      room: "",
    });
    expect(job.takeoff.prices).toMatchObject({ currency: "CAD", hour: 61 });
    expect(job.sky.options.map(({ title }) => title)).toEqual(["Not chosen yet"]);
    const whole = JSON.stringify(job);
    for (const { title, place } of usual.sky.options) {
      expect(whole).not.toContain(title);
      expect(whole).not.toContain(place.name);
    }
    expect(whole).not.toContain("private client");
    expect(survey(job).ceiling?.tiles.length).toBeGreaterThan(20);
  });

  test("a survey with a tile that is gone can still be drawn, one that crosses itself can't", () => {
    const job = demoJob();
    const gone = survey({ ...job, ceiling: { ...job.ceiling, tiles: { Z99: { use: "plain", why: "" } } } });
    expect(gone.faults[0]?.path).toContain("ceiling.tiles");
    expect(gone.ceiling).not.toBeNull();
    const outlineMm: [number, number][] = [
      [0, 0],
      [3000, 3000],
      [3000, 0],
      [0, 3000],
    ];
    const crossed = survey({ ...job, ceiling: { ...job.ceiling, outlineMm } });
    expect(crossed.ceiling).toBeNull();
    expect(crossed.faults.length).toBeGreaterThan(0);
  });

  test("holes arrive from a worker as they were made, to the last property", async () => {
    const pattern = planJob(demoJob(), await loadCatalog()).pattern;
    const [one, two] = pattern.holes;
    const holes = [
      ...pattern.holes,
      { ...one!, ...two!, merged: [7], byHand: true, deeper: true, inFigure: true },
    ];
    const made = {
      projection: {} as never,
      pattern: { ...pattern, holes },
      stars: 1,
      faintest: 2,
      instead: [],
    };
    expect(arrived(structuredClone(crossing(made)))).toStrictEqual(made);
  });
});
