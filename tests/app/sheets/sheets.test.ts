import { describe, expect, test } from "vitest";
import { barWords, readBar, verdictOn } from "../../../src/app/parts/sheets/printer.ts";
import { changedTiles, marksOf, staleness } from "../../../src/app/parts/sheets/stale.ts";
import {
  forgetPrinter,
  namePrinter,
  setBar,
  setPaper,
  setSides,
  sidesChoice,
} from "../../../src/app/parts/sheets/commands/paper.ts";
import { Refusal } from "../../../src/app/state/edit.ts";
import type { SheetsSummary } from "../../../src/app/parts/sheets/worker/api.ts";
import { readJob } from "../../../src/job/read.ts";
import { writeJob } from "../../../src/job/write.ts";
import { demoJob } from "../demoJob.ts";

describe("paper, sides and printer", () => {
  test("a paper by any spelling of its name; an unknown one is refused", () => {
    const job = demoJob();
    expect(setPaper(job, "roll 36 in").job.sheets.paper).toBe("Roll 36 in");
    expect(setPaper(job, "a3").name).toBe("Print on A3");
    expect(() => setPaper(job, "A9")).toThrow(Refusal);
  });

  test("one side or both", () => {
    const job = demoJob();
    for (const choice of ["back", "face", "both"] as const) {
      const made = setSides(job, choice).job;
      expect(sidesChoice(made)).toBe(choice);
      expect(readJob(writeJob(made)).job).toEqual(made);
    }
  });

  test("measured bars stay within what the document takes, and are forgotten with the printer", () => {
    const job = namePrinter(demoJob(), " plotter ").job;
    const measured = setBar(setBar(job, "x", 149.456).job, "y", 150.3).job;
    expect(measured.sheets.printer).toMatchObject({ name: "plotter", barXMm: 149.46, barYMm: 150.3 });
    expect(readJob(writeJob(measured)).job).toEqual(measured);
    expect(() => setBar(job, "x", 100)).toThrow("Measure it again");
    expect(() => setBar(job, "y", NaN)).toThrow(Refusal);
    expect(forgetPrinter(measured).job.sheets.printer).toEqual({ name: "", barXMm: 150, barYMm: 150 });
  });

  test("what a measured bar means: 0.2 % is true, 2 to 6 % is a page scaled by a dialog", () => {
    expect(verdictOn(150.3)).toBe("true");
    expect(verdictOn(149.69)).toBe("corrected");
    expect(verdictOn(147)).toBe("corrected");
    expect(verdictOn(146.9)).toBe("implausible");
    // over 600 mm: 0.5 % is 3 mm, 2 % is 12 mm
    expect(barWords("across", 149.25)).toContain("3.0 mm short over 600 mm");
    expect(barWords("along", 153)).toContain("12.0 mm long over 600 mm");
    expect(barWords("across", 147)).toContain("1.0204");
    expect(barWords("along", 150)).toBe("along: true to size");
  });

  test("a bar may be typed in millimetres or, said so, in inches", () => {
    expect(readBar("149,6")).toBe(149.6);
    expect(readBar("5 7/8 in")).toBeCloseTo(149.225, 6);
    expect(typeof readBar("about right")).toBe("string");
  });
});

describe("what a change makes stale", () => {
  const summary = (marks: Record<string, string>): SheetsSummary => ({
    holes: 0,
    papers: [],
    tiles: Object.entries(marks).map(([name, mark]) => ({ name, holes: 1, pages: 1, punched: mark })),
    pages: [],
  });
  const before = marksOf(summary({ A1: "1 5 5 1", A2: "1 6 6 1", B1: "1 7 7 1" }));
  const after = marksOf(summary({ A1: "1 5 5 1", A2: "1 6 9 1", B2: "1 7 7 1" }));
  const job = demoJob();
  const later = { ...demoJob(), title: "Another name" };

  test("tiles with other holes, new ones and emptied ones are named", () => {
    expect(changedTiles(before, after).sort()).toEqual(["A2", "B1", "B2"]);
    expect(changedTiles(before, before)).toEqual([]);
  });

  test("each download is held against what it shows", () => {
    const of = (order: Parameters<typeof staleness>[0]["order"], now = later) =>
      staleness({ order, job, marks: before }, now, after);
    expect(of({ what: "everything" })).toEqual({ kind: "holes", tiles: ["A2", "B1", "B2"] });
    expect(of({ what: "templates", side: "back", tiles: ["A1"] })).toEqual({ kind: "words" });
    expect(of({ what: "tile-drawing", tile: "A2", side: "back", format: "svg" })).toEqual({
      kind: "holes",
      tiles: ["A2"],
    });
    expect(of({ what: "printer-test", corrected: false })).toEqual({ kind: "current" });
    // prices are on no sheet
    const dearer = { ...job, takeoff: { ...job.takeoff, spareStrandsPerTile: 9 } };
    const dearerNow = staleness({ order: { what: "everything" }, job, marks: before }, dearer, before);
    expect(dearerNow).toEqual({ kind: "current" });
    // undone to the very same job: nothing is stale, unless the record tells of other holes by now
    const undone = staleness({ order: { what: "everything" }, job, marks: before }, job, before);
    expect(undone).toEqual({ kind: "current" });
    expect(of({ what: "everything" }, job)).toEqual({ kind: "holes", tiles: ["A2", "B1", "B2"] });
  });
});
