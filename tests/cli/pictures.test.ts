import { existsSync, readFileSync, writeFileSync } from "node:fs";
import sharp from "sharp";
import { afterAll, describe, expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { scratch, velarium, type Ran } from "./run.ts";

const JOB = "demo/harbour-dining-room.velarium.json";
const folder = scratch();
afterAll(() => folder.remove());

/** Nothing but warnings of the job: the demo has a detector whose owner has not answered. */
const WARNED = /^(Warning: [^\n]*\n)*$/;

describe("scene", () => {
  test("writes the picture asked for, the same bytes each time, never over another", async () => {
    const args = (name: string) => [
      "scene",
      JOB,
      "--seat",
      "wall",
      "--size",
      "320x200",
      "--out",
      folder.path(name),
    ];
    const one = await velarium(args("a.png"));
    expect([one.code, one.err]).toEqual([0, expect.stringMatching(WARNED)]);
    await velarium(args("b.png"));
    const bytes = readFileSync(folder.path("a.png"));
    expect(readFileSync(folder.path("b.png"))).toEqual(bytes);
    const { width, height } = await sharp(bytes).metadata();
    expect([width, height]).toEqual([320, 200]);
    const again = await velarium(args("a.png"));
    expect(again.code).toBe(1);
    expect(again.err).toContain("already there");
    expect(readFileSync(folder.path("a.png"))).toEqual(bytes);
  });
  test("a darker dimmer, lights on, the real sky and figures are other pictures", async () => {
    // without engines: nothing has to be shared out for each of the five
    const job = folder.path("no-engines.velarium.json");
    const demo = JSON.parse(readFileSync(JOB, "utf8")) as Record<string, unknown>;
    writeFileSync(job, JSON.stringify({ ...demo, bundles: {} }));
    const mean = async (name: string, ...more: string[]): Promise<number> => {
      const ran = await velarium(["scene", job, "--size", "320x200", "--out", folder.path(name), ...more]);
      expect(ran.code).toBe(0);
      const { channels } = await sharp(folder.path(name)).stats();
      return channels[1]!.mean;
    };
    const full = await mean("full.png", "--dimmer", "1");
    const dim = await mean("dim.png", "--dimmer", "0.1");
    const figures = await mean("figures.png", "--dimmer", "0.1", "--constellations");
    const day = await mean("day.png", "--lights-on");
    expect(dim).toBeLessThan(full);
    expect(figures).toBeGreaterThan(dim);
    expect(day).toBeGreaterThan(2 * full);
    await mean("sky.png", "--real-sky");
  });
  test.each([
    ["--seat", "balcony", "--seat"],
    ["--seat", "-500,100", "scene.seats.atMm"],
    ["--size", "big", "--size"],
    ["--dimmer", "2", "--dimmer"],
    ["--time", "soon", "--time"],
    ["--night", "never", "sky.chosen"],
  ])("%s %s is refused, naming %s, and nothing is written", async (option, value, named) => {
    const out = folder.path(`bad${option}.png`);
    const ran = await velarium(["scene", JOB, "--size", "64x40", "--out", out, `${option}=${value}`]);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain(named);
    expect(existsSync(out)).toBe(false);
  });
});

describe("skysheet and board", () => {
  test("a sky sheet of another night than the chosen one", async () => {
    const ran = await velarium([
      "skysheet",
      JOB,
      "--night",
      "winter",
      "--out",
      folder.path("sky.pdf"),
      "--json",
    ]);
    expect(ran.code).toBe(0);
    // 21:30 in Halifax in January is UTC-4 (IANA tz database)
    expect(JSON.parse(ran.out)).toMatchObject({ done: true, utc: "2030-01-06T01:30:00Z" });
    expect(readFileSync(folder.path("sky.pdf")).subarray(0, 5).toString()).toBe("%PDF-");
  });
  test("a board as PDF in both shapes with a page a night, and its pages as pictures, whole or not at all", async () => {
    const out = folder.path("board");
    const ran = await velarium(["board", JOB, "--nights", "winter,reopening", "--out", out]);
    expect([ran.code, ran.err]).toEqual([0, expect.stringMatching(WARNED)]);
    for (const name of ["board-a3", "board-16x9"])
      expect(readFileSync(`${out}/${name}.pdf`).subarray(0, 5).toString()).toBe("%PDF-");
    for (const night of [1, 2]) {
      const { width, height } = await sharp(`${out}/board-16x9-${night}.png`).metadata();
      expect(width / height).toBeCloseTo(16 / 9, 2);
    }
    const facts = JSON.parse(readFileSync(`${out}/nights.json`, "utf8")) as { title: string }[];
    expect(facts.length).toBe(2);
    expect((await velarium(["board", JOB, "--out", out])).code).toBe(1);
  });
  test.each([["reopening"], ["reopening,nowhere"], ["reopening,reopening"]])(
    "nights %s are refused",
    async (ids) => {
      const out = folder.path("bad-board");
      const ran = await velarium(["board", JOB, "--nights", ids, "--out", out]);
      expect(ran.code).toBe(2);
      expect(ran.err).toContain("--nights");
      expect(existsSync(out)).toBe(false);
    },
  );
});

describe("nights", () => {
  test("finds a sky, and writes a job that has it among its own", async () => {
    const out = folder.path("found.velarium.json");
    const ran = await velarium(
      ["nights", JOB, "--from", "2030-01-05T21:00", "--to", "2030-01-05T22:00"].concat([
        "--with",
        "Orion, Saturn",
        "--out",
        out,
      ]),
    );
    expect([ran.code, ran.err]).toEqual([0, expect.stringMatching(WARNED)]);
    expect(ran.out).toContain("Orion is whole on the ceiling");
    const { job } = checkJob(readFileSync(out));
    expect(job.sky.options.length).toBeGreaterThan(3);
    expect(job.sky.options[3]!.id).toBe("found-1");
    expect(job.sky.chosen).toBe("reopening");
  });
  const refused = (ran: Ran, named: string): void => {
    expect(ran.code).toBe(2);
    expect(ran.err).toContain(named);
  };
  test("refuses what it can't read", async () => {
    refused(await velarium(["nights", JOB]), "--date");
    refused(await velarium(["nights", JOB, "--date", "2029-13-40"]), "--date");
    refused(await velarium(["nights", JOB, "--date", "2029-09-08", "--with", "Oryon"]), "--with");
    refused(await velarium(["nights", JOB, "--date", "2029-09-08", "--along", "moon wall"]), "--along");
    refused(await velarium(["nights", JOB, "--date", "2029-09-08", "--zone", "Mars/Base"]), "zone");
  });
});
