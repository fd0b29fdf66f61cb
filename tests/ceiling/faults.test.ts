import { wordedIn } from "../../src/job/faults.ts";
import { describe, expect, it } from "vitest";
import { makeCeiling } from "../../src/ceiling/ceiling.ts";
import { ceilingFaults } from "../../src/ceiling/faults.ts";
import { JobFaults } from "../../src/job/faults.ts";
import { rectangle, section, type Section } from "./sections.ts";

const paths = (s: Section) => ceilingFaults(s).map((fault) => fault.path);
const disc = (x: number, y: number, radiusMm: number) => ({
  circle: { centreMm: [x, y] as [number, number], radiusMm },
});

describe("ceilingFaults", () => {
  it("finds nothing wrong with a sound ceiling", () => {
    expect(ceilingFaults(section({ noGo: [{ kind: "sprinkler", ...disc(900, 900, 40) }] }))).toEqual([]);
  });

  it.each([
    [
      "a self-crossing outline",
      {
        outlineMm: [
          [0, 0],
          [3000, 3000],
          [3000, 0],
          [0, 3000],
        ],
      },
      "ceiling.outlineMm",
      /edge 1-2 and edge 3-4/,
    ],
    [
      "an outline on one line",
      {
        outlineMm: [
          [0, 0],
          [3000, 3000],
          [6000, 6000],
        ],
      },
      "ceiling.outlineMm",
      /one line/,
    ],
    [
      "the first corner repeated",
      { outlineMm: [...rectangle(3000, 3000), [0, 0]] },
      "ceiling.outlineMm",
      /points 5 and 1 are the same/,
    ],
    [
      "a room over 60 m",
      {
        outlineMm: [
          [-40_000, 0],
          [40_000, 0],
          [40_000, 9000],
        ],
      },
      "ceiling.outlineMm",
      /80000 mm/,
    ],
    ["a zone without a shape", { noGo: [{ kind: "other" }] }, "ceiling.noGo[0]", /none of them/],
    [
      "a zone with two",
      { noGo: [{ kind: "other", ...disc(9, 9, 9), polygonMm: rectangle(9, 9) }] },
      "ceiling.noGo[0]",
      /circle and polygonMm/,
    ],
    [
      "a self-crossing zone",
      {
        noGo: [
          {
            kind: "other",
            polygonMm: [
              [0, 0],
              [10, 10],
              [10, 0],
              [0, 10],
            ],
          },
        ],
      },
      "ceiling.noGo[0].polygonMm",
      /cross/,
    ],
    [
      "a tile larger than its module",
      { grid: { moduleMm: [600, 600], tileMm: [595, 603.25] } },
      "ceiling.grid.tileMm[1]",
      /603.25/,
    ],
    ["a tee as wide as the module", { grid: { moduleMm: [20, 600] } }, "ceiling.grid.moduleMm[0]", /20 mm/],
    [
      "a module in metres",
      { grid: { moduleMm: [0.6096, 0.6096], teeFaceMm: 0.024 } },
      "ceiling.grid.moduleMm",
      /about 48000000/,
    ],
    ["a room smaller than a tile can be", { outlineMm: rectangle(30, 30) }, "ceiling.grid", /no piece/],
    [
      "tiles that don't exist",
      { tiles: { A1: {}, Z9: { use: "plain" }, c4: {} } },
      "ceiling.tiles.Z9",
      /'Z9'/,
    ],
    [
      "a zone that swallows the ceiling",
      { noGo: [{ kind: "other", ...disc(2400, 1800, 9000) }] },
      "ceiling.noGo",
      /cover all of it/,
    ],
    [
      "a clearance that does",
      { noGo: [{ kind: "other", ...disc(2400, 1800, 10), clearanceMm: 60_000 }] },
      "ceiling.noGo",
      /cover all/,
    ],
    [
      "a keep-out that leaves nothing",
      { grid: { moduleMm: [600, 600], edgeKeepOutMm: 300 } },
      "ceiling.grid",
      /300 mm/,
    ],
  ] as const)("finds %s", (_, change, path, got) => {
    const faults = ceilingFaults(section(change as unknown as Partial<Section>));
    expect(faults[0]?.path).toBe(path);
    expect(faults[0]?.got).toMatch(got);
    for (const fault of faults)
      for (const words of [wordedIn("mm", [fault]), wordedIn("ft-in", [fault])])
        for (const part of Object.values(words[0]!)) expect(String(part).length).toBeGreaterThan(0);
    expect(JSON.stringify(wordedIn("ft-in", faults))).not.toMatch(/\d mm/);
  });

  it("finds a ceiling in which every tile is left alone", () => {
    expect(paths(section({ outlineMm: rectangle(609.6, 609.6), tiles: { A1: { use: "plain" } } }))).toEqual([
      "ceiling.tiles",
    ]);
  });

  it("finds all of them at once", () => {
    const broken = section({
      outlineMm: [
        [0, 0],
        [3000, 3000],
        [3000, 0],
        [0, 3000],
      ],
      grid: { moduleMm: [600, 600], tileMm: [610, 610] },
      noGo: [
        { kind: "other" },
        { kind: "other", ...disc(1, 1, 1) },
        {
          kind: "other",
          polygonMm: [
            [0, 0],
            [1, 1],
            [2, 2],
          ],
        },
      ],
    });
    expect(paths(broken)).toEqual([
      "ceiling.outlineMm",
      "ceiling.noGo[0]",
      "ceiling.noGo[2].polygonMm",
      "ceiling.grid.tileMm[0]",
      "ceiling.grid.tileMm[1]",
    ]);
    expect(paths(section({ tiles: { Z9: {}, "<b>": {}, constructor: {} } }))).toEqual([
      "ceiling.tiles.Z9",
      "ceiling.tiles.<b>",
      "ceiling.tiles.constructor",
    ]);
  });

  it("names the place of every number that isn't one", () => {
    const s = section({ noGo: [{ kind: "other", ...disc(9, 9, 9) }] });
    s.outlineMm[2]![1] = NaN;
    s.noGo[0]!.circle!.radiusMm = Infinity;
    expect(paths(s)).toEqual(["ceiling.outlineMm[2][1]", "ceiling.noGo[0].circle.radiusMm"]);
  });

  it("refuses too many polygon corners instead of working on them", () => {
    const corners = Array.from({ length: 500 }, (_, i): [number, number] => [i, (i * i) / 100]);
    const s = section({
      noGo: Array.from({ length: 2000 }, () => ({ kind: "other" as const, polygonMm: corners })),
    });
    expect(paths(s)).toEqual(["ceiling.noGo"]);
  });

  it("stands before makeCeiling, which throws the same faults", () => {
    const s = section({
      outlineMm: [
        [0, 0],
        [3000, 3000],
        [3000, 0],
        [0, 3000],
      ],
    });
    expect(() => makeCeiling(s)).toThrow(JobFaults);
    expect(() => makeCeiling(section({ grid: { moduleMm: [0.01, 0.01], teeFaceMm: 0.001 } }))).toThrow(
      /at most 20000 tiles/,
    );
  });
});
