import { chmodSync, existsSync, mkdirSync, readFileSync, watch, writeFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { readJob } from "../../src/job/read.ts";
import { sampleJob } from "../job/sample.ts";
import { contents, scratch, velarium, velariumProcess } from "./run.ts";

const folder = scratch();
const job = folder.path("room.velarium.json");
beforeAll(() => writeFileSync(job, JSON.stringify(sampleJob())));
afterAll(() => folder.remove());

/** Nothing half made may stay behind, beside what was there. */
const leftovers = (): string[] => folder.list().filter((name) => /partial|velarium-old/.test(name));

describe("help and options", () => {
  test("every command shows an example, and help is exit 0", async () => {
    const names = ["new", "check", "plan", "sheets"];
    const ran = await Promise.all(names.map((name) => velarium(["help", name])));
    for (const { code, out } of ran) {
      expect(code).toBe(0);
      expect(out).toMatch(/Example:\n {2}velarium /);
    }
    const help = await velarium(["--help"]);
    expect(help.code).toBe(0);
    // what is written in spite of faults ends with 1: said where the codes are told
    for (const words of [help.out, readFileSync("README.md", "utf8")])
      expect(words).toMatch(
        /\b1:? it can't be done as asked \(`?bundles`?, `?order`? and `?pack`? write what can be done/,
      );
  });

  test.each([
    [["plan", "x.json"], /--out/],
    [["plan", "x.json", "--out", "y", "--oot"], /--oot/],
    [["plann"], /plann/],
    [["sheets", "x.json", "--out", "y", "--side", "top"], /back, face, both/],
    [["check"], /job/],
    [["check", "no-such-file.json"], /no such file/],
    [["check", "src"], /a folder/],
  ])("%j is wrong input: exit 2", async (args, words) => {
    const { code, err, out } = await velarium(args);
    expect(code).toBe(2);
    expect(err).toMatch(words);
    expect(out).toBe("");
  });
});

test("check says where settings make no sense", async () => {
  const { code, err } = await velarium(["check", "tests/fuzz/worst/crowded-small-circle.velarium.json"]);
  expect(code).toBe(0);
  expect(err).toMatch(/322 mm across, 1 % of the ceiling/);
});

describe("new", () => {
  const answers = [
    "--room",
    "17ft 6in x 13ft 4in",
    "--module",
    "24x24in",
    "--time",
    "2029-09-08T22:00",
    "--strands",
    "1280x0.75,210x1.0",
  ];

  test("makes a job that reads back, with exact lengths and the place's own zone", async () => {
    const file = folder.path("new.velarium.json");
    const { code, err } = await velarium(["new", file, ...answers, "--place", "Halifax, Nova Scotia"]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    const { job: made, unknownKeys } = readJob(readFileSync(file));
    expect(unknownKeys).toEqual([]);
    // 17 ft 6 in and 13 ft 4 in at 25.4 mm to the inch (international inch, 1959)
    expect(made.ceiling.outlineMm[2]).toEqual([5334, 4064]);
    expect(made.ceiling.grid.moduleMm).toEqual([609.6, 609.6]);
    expect(made.sky.options[0]?.moment).toMatchObject({ zone: "America/Halifax" });
    // 44°38′52″ N 63°34′17″ W by the Canadian Geographical Names Database, from memory
    expect(made.sky.options[0]?.place.latDeg).toBeCloseTo(44.65, 1);
    expect(made.sky.options[0]?.place.lonDeg).toBeCloseTo(-63.57, 1);
    const again = await velarium(["new", file, ...answers, "--place", "Halifax, Nova Scotia"]);
    expect(again.code).toBe(1);
    expect(again.err).toMatch(/already there/);
  });

  test("every answer that can't be read is told at once, and no file is made", async () => {
    const file = folder.path("bad-new.velarium.json");
    const { code, err } = await velarium([
      "new",
      file,
      "--room",
      "5 by 4",
      "--module",
      "24x24foo",
      "--time",
      "22:00",
      "--strands",
      "lots",
      "--at",
      "1,2",
    ]);
    expect(code).toBe(2);
    for (const option of ["--room", "--module", "--strands", "--time"]) expect(err).toContain(option);
    expect(existsSync(file)).toBe(false);
  });

  test("a room without a unit is asked for one; faults come in the units typed, all at once", async () => {
    const file = folder.path("asked.velarium.json");
    const by = (change: Record<string, string>): string[] =>
      Object.entries({
        "--room": "5.32x4.17m",
        "--module": "600x600",
        "--time": "2029-09-08T22:00",
        "--strands": "900x0.75",
        "--place": "Leeds, England",
        ...change,
      }).flat();
    const bare = await velarium(["new", file, ...by({ "--room": "5.32x4.17", "--place": "Nowhereham" })]);
    expect(bare.code).toBe(2);
    expect(bare.err).toContain("5.32 x 4.17 m");
    expect(bare.err).toContain("Nowhereham");
    // whatever is wrong or missing is told at once, each by its own name, and nothing of what was only put in its place
    const many = await velarium([
      "new",
      file,
      ...by({ "--module": "700x", "--tee": "40ft", "--bearing": "999" }),
    ]);
    expect(many.err.match(/^--\w+$/gm)).toEqual(["--module", "--bearing"]);
    // also what only the answers beside a wrong one tell together
    const hidden = await velarium(["new", file, ...by({ "--bearing": "999", "--tee": "700mm" })]);
    expect(hidden.err.match(/^--\w+$/gm)).toEqual(["--bearing", "--module"]);
    const none = await velarium(["new", file]);
    expect(none.code).toBe(2);
    expect(none.err.match(/^--\w+$/gm)).toEqual(["--place", "--room", "--module", "--strands", "--time"]);
    const wide = await velarium(["new", file, ...by({ "--room": "900ft x 20ft", "--tee": "700" })]);
    expect(wide.code).toBe(2);
    expect(wide.err).toMatch(/--room.*900' 0"/s);
    // the same room, not too wide: now what stands behind it is told
    const tee = await velarium(["new", file, ...by({ "--room": "40ft x 20ft", "--tee": "700" })]);
    expect(tee.err).toMatch(/--module|--tee/);
    expect(wide.err).not.toMatch(/\d mm/);
    expect(existsSync(file)).toBe(false);
  });

  test("namesakes are listed, not guessed", async () => {
    const { code, err } = await velarium([
      "new",
      folder.path("s.json"),
      ...answers,
      "--place",
      "springfield",
    ]);
    expect(code).toBe(2);
    expect(err).toMatch(/Springfield, Illinois.*after a comma/s);
  });
});

describe("plan writes a folder whole or not at all", () => {
  test("same bytes twice; an existing folder is refused, or replaced whole", async () => {
    const [one, two] = [folder.path("one"), folder.path("deep/er/two")];
    const [first, second] = await Promise.all([
      velarium(["plan", job, "--out", one]),
      velarium(["plan", job, "--out", two, "--json"]),
    ]);
    expect([first.code, second.code]).toEqual([0, 0]);
    const made = contents(one);
    expect([...made.keys()]).toEqual(
      expect.arrayContaining([
        "holes.csv",
        "lost.csv",
        "plan.json",
        "plan.svg",
        "plan.dxf",
        "sheets/templates-back.pdf",
      ]),
    );
    expect(contents(two)).toEqual(made);
    const summary = JSON.parse(second.out) as {
      done: boolean;
      holes: number;
      files: string[];
      cautions: unknown[];
    };
    const rows = Buffer.from(made.get("holes.csv")!).toString("utf8").trim().split("\r\n").slice(1);
    expect(summary).toMatchObject({ done: true, holes: rows.length });
    // 140 strands, several of them in the holes of bright stars
    expect(rows.length).toBeGreaterThan(60);
    expect(rows.length).toBeLessThanOrEqual(140);
    expect([...summary.files, "files.sha256"].sort()).toEqual([...made.keys()].sort());
    expect(summary.cautions.length).toBeGreaterThan(5);

    const refused = await velarium(["plan", job, "--out", one]);
    expect(refused.code).toBe(1);
    expect(refused.err).toMatch(/--replace/);
    expect((await velarium(["plan", job, "--out", one, "--replace"])).code).toBe(0);
    expect(contents(one)).toEqual(made);
    writeFileSync(`${one}/sheets/my notes.txt`, "keep me");
    const stranger = await velarium(["plan", job, "--out", one, "--replace"]);
    expect(stranger.code).toBe(1);
    expect(stranger.err).toMatch(/my notes\.txt/);
    expect(readFileSync(`${one}/sheets/my notes.txt`, "utf8")).toBe("keep me");
    expect(leftovers()).toEqual([]);
  });

  test("a file in the way and a folder that can't be written are said, exit 1", async () => {
    writeFileSync(folder.path("file"), "");
    expect((await velarium(["plan", job, "--out", folder.path("file")])).code).toBe(1);
    expect((await velarium(["plan", job, "--out", folder.path("file/in/it")])).code).toBe(1);
    mkdirSync(folder.path("locked"));
    chmodSync(folder.path("locked"), 0o555);
    // root may write anywhere: /proc takes no folder from anybody
    const place = process.getuid?.() === 0 ? "/proc/velarium-out" : folder.path("locked/out");
    const { code, err } = await velarium(["plan", job, "--out", place]);
    expect(code).toBe(1);
    expect(err).not.toMatch(/\.ts:\d/);
    expect(leftovers()).toEqual([]);
  });

  test("Ctrl-C leaves nothing behind, early or in the midst of writing", async () => {
    const demo = "demo/harbour-dining-room.velarium.json";
    const early = folder.path("interrupted");
    const ran = await velariumProcess(["plan", demo, "--out", early], (pid) =>
      setTimeout(() => process.kill(pid, "SIGINT"), 1500),
    );
    expect(ran.code).not.toBe(0);
    expect(existsSync(early)).toBe(false);

    const late = folder.path("late");
    const args = ["plan", demo, "--out", late];
    let seen = false;
    const stopped = await velariumProcess(args, (pid) => {
      const watcher = watch(folder.path("."), (_, name) => {
        if (seen || !name?.includes("velarium-partial")) return;
        seen = true;
        watcher.close();
        process.kill(pid, "SIGINT");
      });
    });
    expect(seen).toBe(true);
    // the folder may have been complete by then; half of it never stays
    expect(existsSync(late)).toBe(stopped.code === 0);
    if (stopped.code !== 0)
      expect(stopped).toMatchObject({ code: 130, err: "Interrupted; nothing was written.\n" });
    expect(leftovers()).toEqual([]);
  });
});

describe("sheets", () => {
  test("one tile, one side, another paper", async () => {
    const out = folder.path("b2");
    const { code } = await velarium([
      "sheets",
      job,
      "--out",
      out,
      "--paper",
      "a3",
      "--tile",
      "b2",
      "--side",
      "face",
    ]);
    expect(code).toBe(0);
    const made = [...contents(out).keys()];
    expect(made).toEqual(
      expect.arrayContaining(["sheets/dxf/B2-face.dxf", "sheets/svg/B2-face.svg", "sheets/check-face.pdf"]),
    );
    expect(made.filter((name) => /back|[AC]\d-/.test(name))).toEqual([]);
  });

  test("an unknown tile is wrong input", async () => {
    const { code, err } = await velarium(["sheets", job, "--out", folder.path("zz"), "--tile", "Q9"]);
    expect(code).toBe(2);
    expect(err).toMatch(/Q9/);
    expect(existsSync(folder.path("zz"))).toBe(false);
  });
});
