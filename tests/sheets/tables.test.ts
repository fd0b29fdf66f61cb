import { execFileSync } from "node:child_process";
import { describe, expect, it } from "vitest";
import { csvText, holesCsv, lostCsv } from "../../src/sheets/tables.ts";
import { planJson } from "../../src/sheets/planJson.ts";
import { safeFileName } from "../../src/drawing/words.ts";
import { fixturePlan } from "./fixture.ts";
import { withFile } from "./readPdf.ts";

/** Python's csv module, a reader that is not ours. */
function readCsv(words: string): Record<string, string>[] {
  const script =
    "import csv,json,sys; json.dump(list(csv.DictReader(open(sys.argv[1],newline='',encoding='utf8'),strict=True)),sys.stdout)";
  return withFile("a.csv", words, (path) =>
    JSON.parse(
      execFileSync("/usr/bin/python3", ["-c", script, path], { encoding: "utf8", maxBuffer: 2 ** 28 }),
    ),
  ) as Record<string, string>[];
}

describe("holes.csv", () => {
  const plan = fixturePlan({ perTile: 8 });
  const csv = holesCsv(plan, (hole) => (hole.tile === "A1" ? "engine, left" : ""));
  const rows = readCsv(csv);

  it("has the columns of DEVELOPERS.md in their order, CRLF after every record (RFC 4180)", () => {
    expect(csv.split("\r\n")[0]).toBe(
      "hole,tile,number,kind,star,name,magnitude,true_x_mm,true_y_mm,x_mm,y_mm,tile_x_mm,tile_y_mm,diameter_mm,strands,engine",
    );
    expect(csv.endsWith("\r\n")).toBe(true);
    expect(csv.replace(/\r\n/g, "")).not.toMatch(/[\r\n]/);
  });

  it("gives back every hole to the micrometre", () => {
    expect(rows).toHaveLength(plan.pattern.holes.length);
    plan.pattern.holes.forEach((hole, i) => {
      const row = rows[i]!;
      expect([row.hole, row.tile, row.kind]).toEqual([String(hole.id), hole.tile, hole.kind]);
      expect([row.x_mm, row.y_mm, row.tile_x_mm, row.tile_y_mm, row.diameter_mm].map(Number)).toEqual([
        hole.xMm,
        hole.yMm,
        hole.tileXMm,
        hole.tileYMm,
        hole.diameterMm,
      ]);
      expect(row.x_mm).toMatch(/^-?\d+\.\d{3}$/);
      expect(row.engine).toBe(hole.tile === "A1" ? "engine, left" : "");
    });
  });

  it("leaves star, name and true place of filler empty, and the star of Moon and planets", () => {
    const filler = rows.filter((row) => row.kind === "filler");
    expect(filler.length).toBeGreaterThan(0);
    for (const row of filler)
      expect([row.star, row.name, row.true_x_mm, row.true_y_mm, row.magnitude]).toEqual(["", "", "", "", ""]);
    const moon = rows.find((row) => row.kind === "moon")!;
    expect([moon.star, moon.name]).toEqual(["", "Moon"]);
    expect(moon.true_x_mm).not.toBe("");
  });

  it("never writes a negative zero, and does write negative places", () => {
    const shifted = fixturePlan({ perTile: 1 });
    shifted.pattern.holes[0]!.xMm = -0;
    shifted.pattern.holes[0]!.yMm = -12.345;
    const [row] = readCsv(holesCsv(shifted));
    expect([row!.x_mm, row!.y_mm]).toEqual(["0.000", "-12.345"]);
  });
});

describe("lost.csv", () => {
  it("names star, place and reason", () => {
    const csv = lostCsv(fixturePlan());
    expect(csv.split("\r\n")[0]).toBe("star,name,magnitude,true_x_mm,true_y_mm,reason");
    expect(readCsv(csv)).toEqual([
      {
        star: "11767",
        name: "Polaris",
        magnitude: "1.970",
        true_x_mm: "1704.500",
        true_y_mm: "1101.250",
        reason: "no free spot within reach: sprinkler",
      },
    ]);
  });
});

describe("text in a table", () => {
  it.each([
    ["=1+1", "'=1+1"],
    ["+1", "'+1"],
    ["-1", "'-1"],
    ["@SUM(A1)", "'@SUM(A1)"],
    ["\t=1", "'=1"],
    ["\r=1", "'=1"],
    [" =1", "'=1"],
    ['a "b", c', '"a ""b"", c"'],
    [' "=1', `"'""=1"`],
    ["\uFF1D1+1", "'\uFF1D1+1"],
    ["a;=1+1", `"a;'=1+1"`],
    ["γ² Vel", "γ² Vel"],
    ["a\nb", "a b"],
  ])("%j becomes %j", (words, field) => expect(csvText(words)).toBe(field));
});

it("stays text where lists are parted by semicolons too, as Python's csv module reads them", () => {
  const hostile = ["a;=1+1", 'b;"@SUM(A1)', "\uFF0Bc", 'd","=2+2', "e; -1", '";=3'];
  const rows = hostile.map((words, i) => `${i},A1,${csvText(words)}\r\n`).join("");
  const script =
    "import csv,json,sys; json.dump([list(csv.reader(open(sys.argv[1],newline='',encoding='utf8'),delimiter=d)) for d in ',;'],sys.stdout)";
  const tables = withFile("a.csv", rows, (path) =>
    JSON.parse(execFileSync("/usr/bin/python3", ["-c", script, path], { encoding: "utf8" })),
  ) as string[][][];
  for (const cell of tables.flat(2)) expect(cell).not.toMatch(/^[\s"]*[=+\-@\uFF1D\uFF0B\uFF0D\uFF20]/);
});

describe("plan.json", () => {
  const plan = fixturePlan({ perTile: 5 });
  const json = planJson(plan, (hole) => (hole.tile < "C" ? "north" : "")) as {
    counts: {
      holes: number;
      star: number;
      moon: number;
      planet: number;
      filler: number;
      byDiameterMm: { holes: number }[];
    };
    tiles: { tile: string; holes: number; byDiameterMm: { holes: number }[] }[];
    engines: { engine: string; holes: number }[];
    sky: { utc: string; sunAltitudeDeg: number };
    cautions: { code: string }[];
  };
  const sum = (list: { holes: number }[]) => list.reduce((total, { holes }) => total + holes, 0);

  it("counts add up, by kind, by strand, by tile and by engine", () => {
    const { counts, tiles, engines } = json;
    const { length } = plan.pattern.holes;
    expect(counts.holes).toBe(length);
    expect(counts.star + counts.moon + counts.planet + counts.filler).toBe(length);
    expect(sum(counts.byDiameterMm)).toBe(length);
    expect(sum(tiles)).toBe(length);
    for (const tile of tiles) expect(sum(tile.byDiameterMm)).toBe(tile.holes);
    expect(engines.map((e) => e.engine)).toEqual(["north"]);
    expect(sum(engines)).toBe(plan.pattern.holes.filter((h) => h.tile < "C").length);
    expect(tiles.map((t) => t.tile)).toEqual(plan.ceiling.tiles.map((t) => t.name));
  });

  it("holds the resolved moment, the Sun and the cautions of this job", () => {
    expect(json.sky).toMatchObject({ utc: "2031-02-14T20:00:00Z", sunAltitudeDeg: -35.25 });
    expect(json.cautions.map((c) => c.code)).toContain("sprinkler");
    expect(JSON.stringify(json)).not.toMatch(/\b(safe|compliant)\b/i);
  });
});

describe("file names", () => {
  it.each([
    ["../../etc/passwd", "etc-passwd"],
    ["<script>", "script"],
    ["C4", "C4"],
    ["A1-2", "A1-2"],
    ["con", "xcon"],
    ["", "x"],
    ["..", "x"],
    ["Łódź é", "odz-e"],
    ["a\u0000b", "a-b"],
  ])("%j becomes %j", (words, name) => expect(safeFileName(words)).toBe(name));
});
