import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { unzipSync, strFromU8 } from "fflate";
import { beforeAll, describe, expect, test } from "vitest";
import { archiveOf } from "../../src/archive/archive.ts";
import { asBuilt } from "../../src/asBuilt/built.ts";
import { begunTiles, costWords, issuedOnBench } from "../../src/asBuilt/cost.ts";
import { dayIn, visitsOf } from "../../src/asBuilt/visits.ts";
import { checkJob } from "../../src/check.ts";
import { issuedTiles } from "../../src/issue/packed.ts";
import { documentSchema } from "../../src/job/documentSchema.ts";
import type { Job } from "../../src/job/schema.ts";
import type { Entry } from "../../src/record/entry.ts";
import { readRecord } from "../../src/record/read.ts";
import { holeTick, sayPlace, sayStrand, tileTick, undo, type Stamp } from "../../src/record/say.ts";
import { byTile, tileState } from "../../src/record/state.ts";
import { choose } from "../../src/work/stage.ts";
import { demo, issued, work, workedOut, type Worked } from "../issue/support.ts";
import { readPdf, withFile } from "../sheets/readPdf.ts";

const TWO_YEARS_MS = 2 * 365 * 86_400_000;
const STARTED_MS = Date.UTC(2029, 5, 4, 13);

let n = 0;
const entries: Entry[] = [];
const stamp = (who: string, afterMs = 0): Stamp => ({
  id: `00${who === "Kim" ? "aa" : "bb"}-${++n}`,
  atMs: STARTED_MS + afterMs + n * 1000,
  who,
  device: who,
  revision: 1,
});
/** What is known of tile C4 so far. */
const known = () => tileState(byTile(entries).get("C4") ?? []);

let worked: Worked;
let job: Job;
beforeAll(async () => {
  job = await issued(demo);
  worked = await workedOut(job);
  const twelve = Array.from({ length: 12 }, (_, i) => i + 1);
  entries.push(holeTick(stamp("Kim"), "C4", "punched", twelve, known()));
  entries.push(holeTick(stamp("Kim"), "C4", "threaded", [1, 2, 3], known()));
  entries.push(tileTick(stamp("Kim"), "C4", "taped"));
  entries.push(sayPlace(stamp("Kim"), "C4", 4, { what: "moved", byUm: [3000, -4000] }, known()));
  entries.push(sayPlace(stamp("Kim"), "C4", 5, { what: "given up" }, known()));
  entries.push({ ...stamp("Kim"), what: "added", tile: "C4", atUm: [100_000, 200_500], diameterMm: 1, strands: 2 }); // prettier-ignore
  // two who did not hear of one another
  const before = known();
  entries.push(sayPlace(stamp("Kim"), "C4", 6, { what: "given up" }, before));
  entries.push(sayPlace(stamp("Ann"), "C4", 6, { what: "moved", byUm: [1000, 0] }, before));
  // service, two years later; one entry by mistake
  const visit = () => stamp("Ann", TWO_YEARS_MS);
  entries.push({ ...visit(), what: "lifted", tile: "C4" });
  entries.push(sayStrand(visit(), "C4", 7, { what: "dead" }, known()));
  entries.push(sayStrand(visit(), "C4", 7, { what: "replaced", diameterMm: 1.5 }, known()));
  const mistaken: Entry = { ...visit(), what: "lifted", tile: "D6" };
  entries.push(mistaken, undo(visit(), "D6", [mistaken]));
});

describe("a ceiling as it was built", () => {
  test("holes are where the record says; what two say differently stays as planned and is listed", () => {
    const { plan, bundles } = worked;
    const built = asBuilt(plan, bundles, entries);
    const was = (number: number) => plan.pattern.holes.find((h) => h.tile === "C4" && h.numberInTile === number)!; // prettier-ignore
    const is = (number: number) => built.plan.pattern.holes.find((h) => h.tile === "C4" && h.numberInTile === number); // prettier-ignore
    expect(is(4)!.xMm).toBeCloseTo(was(4).xMm + 3, 9);
    expect(is(4)!.tileYMm).toBeCloseTo(was(4).tileYMm - 4, 9);
    expect(is(5)).toBeUndefined();
    expect(is(6)).toEqual(was(6));
    expect(is(7)!.diameterMm).toBe(1.5);
    const tile = plan.ceiling.tiles.find(({ name }) => name === "C4")!;
    const before = new Set(plan.pattern.holes.map(({ id }) => id));
    const added = built.plan.pattern.holes.filter(({ id }) => !before.has(id));
    expect(added).toEqual([expect.objectContaining({ tile: "C4", xMm: (tile.box.minX + 100_000) / 1000, strands: 2, diameterMm: 1 })]); // prettier-ignore
    expect(built.differences.map(({ kind }) => kind).sort()).toEqual(["added", "given up", "moved", "spare used", "undecided"]); // prettier-ignore
    expect(built.differences.find(({ kind }) => kind === "moved")!.words).toBe('moved 3/16": 1/8" right, 3/16" down on the plan'); // prettier-ignore
    const elsewhere = (one: Worked["plan"]) => one.pattern.holes.filter((hole) => hole.tile !== "C4");
    expect(elsewhere(built.plan)).toEqual(elsewhere(plan));
    const strands = (tails: Worked["bundles"]["tails"]) =>
      tails.filter((tail) => tail.tile === "C4").flatMap(({ lots }) => lots).reduce((sum, { count }) => sum + count, 0); // prettier-ignore
    expect(strands(built.bundles.tails)).toBe(strands(bundles.tails) - was(5).strands + 2);
  });

  test("nothing told: nothing changes", () => {
    const { plan, bundles } = worked;
    const built = asBuilt(plan, bundles, []);
    expect(JSON.stringify([built.plan.pattern, built.bundles])).toBe(JSON.stringify([plan.pattern, bundles]));
  });

  test("what a change of a begun tile would cost", () => {
    const begun = begunTiles(issuedTiles(job.issued).map(issuedOnBench), entries, job.takeoff);
    expect(begun.map(({ tile }) => tile)).toEqual(["C4"]);
    // holes 5 and 6 were given up by somebody who knew that they were punched
    expect(begun[0]).toMatchObject({ punched: 10, glued: 0, steps: ["taped"] });
    expect(begun[0]!.threaded).toBeGreaterThanOrEqual(3);
    expect(costWords(begun[0]!)).toMatch(/^C4: 10 holes punched for nothing.*about \d+\.\d h of work/);
    // by the job's rates: ten holes, three strands, a template, and the tile covered once more (24 in square)
    const { rates } = job.takeoff;
    const wrapH = job.takeoff.people === 2 ? 2 / rates.wrapTilesPerHTwo : 1 / rates.wrapTilesPerH;
    const strands = begun[0]!.threaded / rates.threadStrandsPerH;
    const byHand = 10 / rates.pokeHolesPerH + strands + rates.templateMinPerTile / 60 + wrapH + 1 / rates.cleanTilesPerH; // prettier-ignore
    expect(begun[0]!.hours).toBeCloseTo(byHand, 1);
  });

  test("visits by day and person; what was taken back does not count", () => {
    expect(visitsOf(entries, dayIn("America/Halifax"))).toEqual([
      {
        on: "2031-06-04",
        who: "Ann",
        lifted: "C4",
        strands: "C4 no. 7",
        done: "strand found dead; strand replaced by a spare",
        revision: "1",
      },
    ]);
  });
});

test("client's book and archive, as built, to be opened in ten years", { timeout: 180_000 }, async () => {
  const how = { record: entries, forKeeping: true, only: "client.pdf" };
  const papers = (await work.print(choose(job), "pack", how)).map((file) => ({ ...file, path: `papers/${file.path}`, what: "for the client" })); // prettier-ignore
  const words = readPdf(papers[0]!.bytes).flatMap(({ texts }) => texts.map((text) => text.words)).join(" "); // prettier-ignore
  for (const told of [
    "moved 3/16",
    "No. 7: strand replaced",
    "C4 no. 7",
    "4 June 2031",
    "Spare strands used so far",
  ])
    expect(words).toContain(told);

  const record = { job: { id: job.id!, title: job.title }, entries };
  const { differences } = asBuilt(worked.plan, worked.bundles, entries);
  const sha256 = (bytes: Uint8Array) => createHash("sha256").update(bytes).digest("hex");
  const input = { job, schema: documentSchema(), record, differences, files: papers, on: "2031-06-05" };
  const zip = archiveOf(input, sha256);
  expect(Buffer.from(archiveOf(input, sha256)).equals(Buffer.from(zip))).toBe(true);
  const files = unzipSync(zip);
  for (const line of strFromU8(files["files.sha256"]!).trim().split("\n")) {
    const [digest, path] = line.split("  ");
    expect(sha256(files[path!]!), path).toBe(digest);
  }
  const guide = strFromU8(files["READ-ME-FIRST.txt"]!);
  for (const path of Object.keys(files)) if (path !== "files.sha256") expect(guide).toContain(path);
  expect(checkJob(files["job/job.velarium.json"]!).job.issued).toEqual(job.issued);
  expect(readRecord(files["record/job.record.json"]!).entries).toHaveLength(entries.length);
  expect(strFromU8(files["record/record.csv"]!).trim().split("\r\n")).toHaveLength(entries.length + 1);
  expect(strFromU8(files["tables/as-built.csv"]!)).toContain("moved 3/16");

  // ISO 19005-2 as far as poppler and MuPDF see it: what says so (6.6.4), output intent (6.2.3), embedded fonts
  // (6.2.11.4), no encryption and a file identifier (6.1.3). No validator of the whole standard is at hand.
  withFile("client.pdf", files["papers/client.pdf"]!, (path) => {
    const run = (command: string, ...args: string[]) => spawnSync(command, args, { encoding: "utf8" }).stdout;
    const metadata = run("pdfinfo", "-meta", path);
    expect(metadata).toMatch(/<pdfaid:part>2<\/pdfaid:part>/);
    expect(metadata).toMatch(/<pdfaid:conformance>B<\/pdfaid:conformance>/);
    expect(run("pdfinfo", path)).toMatch(/Encrypted: +no/);
    const fonts = run("pdffonts", path).trim().split("\n").slice(2);
    expect(fonts.length).toBeGreaterThan(0);
    expect(fonts.every((line) => /\byes +yes +yes\b/.test(line))).toBe(true);
    expect(run("mutool", "show", path, "trailer")).toMatch(/\/ID/);
    expect(run("mutool", "show", path, "trailer/Root/OutputIntents/1/S")).toContain("GTS_PDFA1");
  });
});
