import { writeFileSync } from "node:fs";
import { afterAll, describe, expect, test } from "vitest";
import type { Fault } from "../../src/job/faults.ts";
import { JOB_VERSION } from "../../src/job/version.ts";
import { sampleJob } from "../job/sample.ts";
import { scratch, velarium } from "./run.ts";

const folder = scratch();
afterAll(() => folder.remove());

type Bend = (job: ReturnType<typeof sampleJob> & Record<string, unknown>) => unknown;

const square = (x: number, y: number, side: number): [number, number][] => [
  [x, y],
  [x + side, y],
  [x + side, y + side],
  [x, y + side],
];

/** Issue 2, "Bad input gets": what is wrong, and the path and word that the message must have. */
const BAD: [string, Bend | string, string, RegExp][] = [
  ["not JSON", '{"format": "velarium.job",\n  "version": one}', "line 2, column 14", /got one\}/],
  [
    "NaN",
    JSON.stringify(sampleJob()).replace("2400", "NaN"),
    "line 1, column",
    /null where nothing was measured/,
  ],
  ["no job", "[1, 2]", "(whole file)", /a job/],
  [
    "a newer version",
    (j) => Object.assign(j, { version: JOB_VERSION + 1 }),
    "version",
    new RegExp(`made by a newer Velarium: version ${JOB_VERSION + 1}`),
  ],
  [
    "a self-crossing outline",
    (j) => (j.ceiling.outlineMm = [[0, 0], [3000, 2400], [3000, 0], [0, 2400]]), // prettier-ignore
    "ceiling.outlineMm",
    /cross/,
  ],
  ["zero tiles", (j) => (j.ceiling.outlineMm = square(0, 0, 30)), "ceiling", /tile/],
  [
    "zones that swallow the ceiling",
    (j) => (j.ceiling.noGo = [{ kind: "other", polygonMm: square(-500, -500, 4000) }]),
    "ceiling.noGo",
    /none left: the no-go zones cover all of it/,
  ],
  ["negative stock", (j) => (j.strands.stock[0]!.count = -1), "strands.stock[0].count", /from 0 to/],
  [
    "a place off the globe",
    (j) => (j.sky.options[0]!.place.latDeg = 95),
    "sky.options[0].place.latDeg",
    /from -90 to 90/,
  ],
  [
    "a year out of range",
    (j) => (j.sky.options[0]!.moment = { utc: "1799-12-31T00:00:00Z" }),
    "sky.options[0].moment.utc",
    /1800/,
  ],
  [
    "a time that never was",
    // clocks in Germany went from 02:00 to 03:00 on the last Sunday of March (Directive 2000/84/EC)
    (j) => (j.sky.options[0]!.moment = { local: "2025-03-30T02:30:00", zone: "Europe/Berlin" }),
    "sky.options[0].moment",
    /02:00.*03:00/s,
  ],
  [
    "a time that was twice",
    (j) => (j.sky.options[0]!.moment = { local: "2025-10-26T02:30:00", zone: "Europe/Berlin" }),
    "sky.options[0].moment",
    /earlier.*later/s,
  ],
  ["an unknown paper", (j) => (j.sheets = { paper: "A7" }), "sheets.paper", /A4/],
  [
    "two shapes for one zone",
    (j) =>
      (j.ceiling.noGo = [
        { kind: "other", circle: { centreMm: [500, 500], radiusMm: 20 }, polygonMm: square(100, 100, 50) },
      ]),
    "ceiling.noGo[0]",
    /one/,
  ],
  [
    "10 MB of zones",
    `{"format": "velarium.job", "pad": "${"x".repeat(10 * 1024 * 1024)}"}`,
    "(file)",
    /at most 8\.0 MB/,
  ],
];

describe("bad input: path, expected, got, next; exit 2; nothing written", () => {
  test.concurrent.each(BAD)("%s", async (name, bend, path, words) => {
    const file = folder.path(`${name.replace(/\W/g, "-")}.velarium.json`);
    const out = folder.path(`${name.replace(/\W/g, "-")}.made`);
    if (typeof bend === "string") writeFileSync(file, bend);
    else {
      const job = sampleJob();
      bend(job as Parameters<Bend>[0]);
      writeFileSync(file, JSON.stringify(job));
    }
    const { code, out: said, err } = await velarium(["plan", file, "--out", out, "--json"]);
    expect({ code, err }).toEqual({ code: 2, err: "" });
    const { done, exit, faults } = JSON.parse(said) as { done: boolean; exit: number; faults: Fault[] };
    expect({ done, exit }).toEqual({ done: false, exit: 2 });
    const fault = faults.find((f) => f.path.startsWith(path));
    expect(fault, JSON.stringify(faults)).toBeDefined();
    expect(`expected ${fault!.expected}, got ${fault!.got}. ${fault!.next}`).toMatch(words);
    expect(fault!.got.length).toBeLessThan(400);
    expect(folder.list().filter((entry) => entry.endsWith(".made"))).toEqual([]);
  });

  test("many faults are told together, for people on the error stream", async () => {
    const job = sampleJob();
    job.ceiling.tiles = { Z99: { use: "plain" } };
    job.sky.options[0]!.moment = { local: "2025-03-30T02:30:00", zone: "Europe/Berlin" };
    job.strands.stock = [{ diameterMm: 1, count: 0 }];
    job.sheets = { paper: "quarto" };
    const file = folder.path("many.velarium.json");
    writeFileSync(file, JSON.stringify(job));
    const { code, out, err } = await velarium(["check", file]);
    expect({ code, out }).toEqual({ code: 2, out: "" });
    for (const path of ["ceiling.tiles.Z99", "sky.options[0].moment", "strands.stock", "sheets.paper"]) {
      expect(err).toContain(path);
    }
    expect(err).toMatch(/\d faults\. Nothing was written\./);
    expect(err).not.toMatch(/\bat .*\.ts:\d/);
  });

  test("a thousand broken zones are counted, and given in full to machines", async () => {
    const job = sampleJob();
    job.ceiling.noGo = Array.from({ length: 1000 }, () => ({ kind: "other" as const }));
    const file = folder.path("thousand.velarium.json");
    writeFileSync(file, JSON.stringify(job));
    const [human, machine] = await Promise.all([
      velarium(["check", file]),
      velarium(["check", file, "--json"]),
    ]);
    expect(human.err.split("\n").length).toBeLessThan(200);
    expect((JSON.parse(machine.out) as { faults: Fault[] }).faults).toHaveLength(1000);
  });

  test("text from a job can't steer the terminal", async () => {
    const file = folder.path("esc.velarium.json");
    writeFileSync(file, JSON.stringify({ ...sampleJob(), units: "\u001b]0;x\u0007\u202e" }));
    const { err } = await velarium(["check", file]);
    // eslint-disable-next-line no-control-regex -- the very thing that must not come through
    expect(err).not.toMatch(/[\u001b\u0007\u202e]/);
  });
});
