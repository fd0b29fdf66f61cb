import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { takeRates } from "../../../src/app/parts/bench/commands.ts";
import { describeQuote } from "../../../src/app/parts/order/commands/prices.ts";
import { setFigures } from "../../../src/app/parts/pattern/commands/settings.ts";
import {
  setFace,
  setListed,
  setListFew,
  setTitleField,
} from "../../../src/app/parts/sheets/commands/paper.ts";
import { setBearingByShadow } from "../../../src/app/state/commands/bearing.ts";
import { setEngineWatts } from "../../../src/app/state/commands/bundles/engines.ts";
import { setLogo, setRevision } from "../../../src/app/state/commands/details.ts";
import { setTeeFace, setTileThickness, setWallAngle } from "../../../src/app/state/commands/grid.ts";
import { setCeilingHeight, setVoidHeight } from "../../../src/app/state/commands/room.ts";
import { takeSurvey } from "../../../src/app/state/commands/takeSurvey.ts";
import { type Edit, Refusal } from "../../../src/app/state/edit.ts";
import { readJob } from "../../../src/job/read.ts";
import type { Job } from "../../../src/job/schema.ts";
import { writeJob } from "../../../src/job/write.ts";
import { bareRoom, demoJob } from "../demoJob.ts";

const filesIn = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".ts")).map((name) => join(folder, name)); // prettier-ignore

/** An exported function, and what it says that it gives. */
const GIVES = /^export (?:function |const )(\w+)(?:<[^>]*>)?(?: = )?\([^]*?\): ([\w| ]+) (?:\{|=>)/gm;

test("every edit of the studio is tried in a test", () => {
  const edits = filesIn("src/app")
    .filter((file) => /\/commands(\/|\.ts$)/.test(file))
    .flatMap((file) => [...readFileSync(file, "utf8").matchAll(GIVES)])
    .filter(([, , gives = ""]) => /\bEdit\b/.test(gives))
    .map(([, name = ""]) => name);
  expect(edits.length).toBeGreaterThan(130);
  const tests = filesIn("tests").map((file) => readFileSync(file, "utf8")).join("\n"); // prettier-ignore
  const named = new Set(tests.match(/\w+/g));
  expect(edits.filter((name) => !named.has(name))).toEqual([]);
});

/** The least that is a JPEG: its start, a size of one by one, its end. */
const LOGO = `data:image/jpeg;base64,${Buffer.from("ffd8ffc0000b080001000101011100ffd9", "hex").toString("base64")}`;
const chosen = (job: Job) => job.sky.options.find(({ id }) => id === job.sky.chosen)!;

/** What is done, what of the job it is to change, and what stands there then. */
const PLAIN: [string, (job: Job) => Edit, (job: Job) => unknown, unknown][] = [
  ["rates of the bench", (j) => takeRates(j, { pokeHolesPerH: 77 }), (j) => [j.takeoff.rates.pokeHolesPerH, j.takeoff.rates.source], [77, "measured at the bench"]],
  ["the quote's terms", (j) => describeQuote(j, { terms: "half before" }), (j) => j.takeoff.prices.terms, "half before"],
  ["constellations that matter", (j) => setFigures(j, "ori, UMA ori"), (j) => chosen(j).figures, ["Ori", "UMa"]],
  ["faces at full size", (j) => setFace(j, "full"), (j) => j.sheets.face, "full"],
  ["few holes listed", (j) => setListFew(j, true), (j) => j.sheets.listed.few, true],
  ["a tile listed, once", (j) => setListed(setListed(j, "C4", true).job, "C4", true), (j) => j.sheets.listed.tiles, ["C4"]],
  ["a tile on sheets again", (j) => setListed(setListed(j, "C4", true).job, "C4", false), (j) => j.sheets.listed.tiles, []],
  ["a title block", (j) => setTitleField(j, "drawnBy", " Ada "), (j) => j.sheets.titleBlock.drawnBy, "Ada"],
  ["the Sun in the south, its shadow at the plan's top", (j) => setBearingByShadow(j, 0, 0), (j) => [j.ceiling.bearingDeg, j.ceiling.bearingFrom], [0, "shadow"]],
  ["a shadow a quarter right of the top", (j) => setBearingByShadow(j, 10, 90), (j) => j.ceiling.bearingDeg, 280],
  ["an engine's power", (j) => setEngineWatts(j, 1, 32), (j) => j.bundles.engines.map(({ watts }) => watts)[1], 32],
  ["the revision", (j) => setRevision(j, 7), (j) => j.revision, 7],
  ["a logo", (j) => setLogo(j, LOGO), (j) => j.firmLogo, LOGO],
  ["a tee", (j) => setTeeFace(j, 14.3), (j) => j.ceiling.grid.teeFaceMm, 14.3],
  ["a tee no longer measured", (j) => setTeeFace(j, undefined), (j) => "teeFaceMm" in j.ceiling.grid, false],
  ["a tile's thickness", (j) => setTileThickness(j, 15), (j) => j.ceiling.grid.thicknessMm, 15],
  ["a wall angle", (j) => setWallAngle(j, 19), (j) => j.ceiling.grid.wallAngleMm, 19],
  ["the ceiling's height", (j) => setCeilingHeight(j, 2800), (j) => j.ceiling.heightMm, 2800],
  ["a height no longer measured", (j) => setCeilingHeight(j, undefined), (j) => "heightMm" in j.ceiling, false],
  ["the void", (j) => setVoidHeight(j, null), (j) => j.ceiling.voidMm, null],
]; // prettier-ignore

describe("edits that only set something", () => {
  test.each(PLAIN)("%s", (_, edit, read, wanted) => {
    const { name, job } = edit(demoJob());
    expect(read(job)).toEqual(wanted);
    expect(name).not.toBe("");
    // what it gives is a sound job, and the same one once it was written and read
    expect(readJob(writeJob(job)).job).toEqual(job);
  });

  test("what can't be is refused in words", () => {
    expect(() => setFigures(demoJob(), "Ori, Orion's belt")).toThrow(Refusal);
    expect(() => setTeeFace(demoJob(), 700)).toThrow("narrower than the module");
  });
});

describe("a survey from a drawing", () => {
  const drawn = bareRoom().ceiling;
  const before = demoJob();
  const taken = (how: { gridFound: boolean }) =>
    takeSurvey(before, { ...drawn, bearingDeg: 12, bearingFrom: "drawing", heightMm: 1 }, { from: "a.dxf", ...how }).job.ceiling; // prettier-ignore

  test("room and north are the drawing's; height, void and answers stay", () => {
    const after = taken({ gridFound: true });
    expect([after.outlineMm, after.bearingDeg]).toEqual([drawn.outlineMm, 12]);
    const { heightMm, voidMm, survey } = before.ceiling;
    expect([after.heightMm, after.voidMm, after.survey]).toEqual([heightMm ?? 1, voidMm, survey]);
  });

  test("a grid that it does not show stays, laid out evenly", () => {
    expect(taken({ gridFound: false }).grid).toEqual({ ...before.ceiling.grid, originMm: "balanced" });
  });
});
