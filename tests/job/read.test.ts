import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { documentSchema } from "../../src/job/documentSchema.ts";
import { JobFaults } from "../../src/job/faults.ts";
import type { Fault } from "../../src/job/faults.ts";
import { migrate } from "../../src/job/migrations.ts";
import type { Migration } from "../../src/job/migrations.ts";
import { readJob, writeJob } from "../../src/job/read.ts";
import { ceilingHeightMm, heightAssumed } from "../../src/job/assumed.ts";
import type { JobInput } from "../../src/job/schema.ts";
import { formatLength, ruleMm } from "../../src/job/units.ts";
import { JOB_VERSION } from "../../src/job/version.ts";
import { withWholeFigures } from "../../src/job/wholeFigures.ts";
import { sampleJob } from "./sample.ts";

/** The sample with the value at `path` (dots and numbers) replaced. */
function bent(path: string, value: unknown): string {
  const job = sampleJob() as unknown as Record<string, unknown>;
  const keys = path.split(".");
  let at = job;
  for (const key of keys.slice(0, -1)) at = at[key] as Record<string, unknown>;
  at[keys.at(-1) as string] = value;
  return JSON.stringify(job);
}

function faultsOf(text: string): Fault[] {
  try {
    readJob(text);
  } catch (error) {
    if (error instanceof JobFaults) return error.faults;
    throw error;
  }
  return [];
}

describe("reading a job", () => {
  test("fills in every default and survives writing and reading again", () => {
    const { job, unknownKeys, migrated } = readJob(JSON.stringify(sampleJob()));
    expect(job).toMatchObject({ revision: 1, units: "mm", pattern: { seed: 1, spacingMm: 8 } });
    expect({ unknownKeys, migrated }).toEqual({ unknownKeys: [], migrated: [] });
    expect(readJob(writeJob(job)).job).toEqual(job);
    expect(writeJob(readJob(writeJob(job)).job)).toBe(writeJob(job));
  });

  test("keeps and reports keys it does not know, wherever they are", () => {
    const text = bent("ceiling.noGo", [
      { kind: "other", circle: { centreMm: [1, 2], radiusMm: 3, colour: "red" }, "my note": "x" },
    ]);
    const withMore = JSON.stringify({ ...JSON.parse(text), mine: { a: 1 }, tiles: {} });
    const { job, unknownKeys } = readJob(withMore);
    expect(unknownKeys.sort()).toEqual(
      ['ceiling.noGo[0]["my note"]', "ceiling.noGo[0].circle.colour", "mine", "tiles"].sort(),
    );
    expect(JSON.parse(writeJob(job))).toMatchObject({
      mine: { a: 1 },
      ceiling: { noGo: [{ "my note": "x", circle: { colour: "red" } }] },
    });
  });

  test("keys named like built-in properties are data, nothing else", () => {
    const text = bent("constructor", { prototype: { polluted: 1 } });
    expect(readJob(text).unknownKeys).toEqual(["constructor"]);
    expect(
      readJob(bent("ceiling.tiles", JSON.parse('{"constructor": {"use": "plain"}}'))).job.ceiling.tiles,
    ).toEqual({
      constructor: { use: "plain", why: "" },
    });
    expect(({} as Record<string, unknown>)["polluted"]).toBeUndefined();
  });

  test.each<[string, unknown, string, string]>([
    ["title", undefined, "title", "text of 1 to 200 characters"],
    ["format", "other", "format", '"velarium.job"'],
    ["version", JOB_VERSION + 1, "version", `at most ${JOB_VERSION}`],
    ["version", "1", "version", `a whole number from 1 to ${JOB_VERSION}`],
    ["units", "furlong", "units", "one of mm, cm, m, ft-in"],
    [
      "ceiling.outlineMm",
      [
        [0, 0],
        [1, 1],
      ],
      "ceiling.outlineMm",
      "a list of 3 to 200 entries",
    ],
    ["ceiling.outlineMm.1.0", "3000", "ceiling.outlineMm[1][0]", "a number from -60000 to 60000"],
    ["ceiling.outlineMm.1.0", null, "ceiling.outlineMm[1][0]", "a number from -60000 to 60000"],
    ["ceiling.grid.moduleMm.0", 0, "ceiling.grid.moduleMm[0]", "a number above 0, at most 60000"],
    [
      "ceiling.grid.originMm",
      "centred",
      "ceiling.grid.originMm",
      '[a number from -60000 to 60000, a number from -60000 to 60000], or "balanced"',
    ],
    [
      "ceiling.grid.originMm",
      [0],
      "ceiling.grid.originMm",
      "[a number from -60000 to 60000, a number from -60000 to 60000]",
    ],
    ["ceiling.noGo", [{ kind: "lamp" }], "ceiling.noGo[0].kind", "one of "],
    ["ceiling.tiles", { A1: { use: "blue" } }, "ceiling.tiles.A1.use", "one of stars, fabric, plain"],
    ["sky.options.0.place.latDeg", 91, "sky.options[0].place.latDeg", "a number from -90 to 90"],
    ["sky.options.0.place.lonDeg", -181, "sky.options[0].place.lonDeg", "a number from -180 to 180"],
    [
      "sky.options.0.moment",
      { local: "2031-02-14T21:00" },
      "sky.options[0].moment.zone",
      "text of 1 to 64 characters",
    ],
    ["sky.options.0.moment", 5, "sky.options[0].moment", "{ } with local, zone, or { } with utc"],
    ["sky.chosen", "second", "sky.chosen", "the id of one of the nights: first"],
    ["strands.stock.0.count", -5, "strands.stock[0].count", "a whole number from 0 to 200000"],
    ["strands.stock", [{ diameterMm: 1, count: 0 }], "strands.stock", "at least one strand"],
    ["strands.stock.1.diameterMm", 0.75, "strands.stock[1].diameterMm", "each diameter once"],
    ["pattern", { seed: 1.5 }, "pattern.seed", "a whole number from 0 to 2147483647"],
    ["pattern", { byHand: [{ do: "shift" }] }, "pattern.byHand[0].do", "one of pin, omit, add"],
    [
      "pattern",
      { byHand: [{ do: "pin", what: "sun", night: "a", atMm: [1, 2] }] },
      "pattern.byHand[0].what",
      "a whole number from 1 to 9999999, or one of moon",
    ],
    [
      "pattern",
      {
        byHand: [
          { do: "omit", what: 7 },
          { do: "omit", what: 7 },
        ],
      },
      "pattern.byHand[1].what",
      "each star left out once",
    ],
  ])("%s = %j is refused with path and expectation", (path, value, at, expected) => {
    const faults = faultsOf(bent(path, value));
    expect(faults).toHaveLength(1);
    expect(faults[0]?.path).toBe(at);
    expect(faults[0]?.expected).toContain(expected);
    expect(faults[0]?.got).not.toBe("");
    expect(faults[0]?.next).not.toBe("");
  });

  test("a number too large for a double is refused like any other", () => {
    const text = JSON.stringify(sampleJob()).replace("3000", "1e999");
    expect(faultsOf(text)).toMatchObject([{ path: "ceiling.outlineMm[1][0]", got: "Infinity" }]);
  });

  test("every fault at once, from every section", () => {
    const job = JSON.parse(bent("ceiling.grid.teeFaceMm", -1)) as ReturnType<typeof sampleJob>;
    job.title = "";
    job.sky.chosen = "none";
    job.strands.stock = [];
    expect(
      faultsOf(JSON.stringify(job))
        .map((f) => f.path)
        .sort(),
    ).toEqual(["ceiling.grid.teeFaceMm", "sky.chosen", "strands.stock", "title"]);
  });
});

describe("migrations", () => {
  const table: Migration[] = [
    { from: 2, name: "GiveEveryLampAName", up: (d) => ({ ...d, lamps: ["a"] }) },
    { from: 1, name: "CallItRoom", up: ({ place, ...d }) => ({ ...d, room: place }) },
  ];

  test("carry a document up in order and say so, leaving the original alone", () => {
    const original = { version: 1, place: "hall", other: [1] };
    const before = structuredClone(original);
    expect(migrate(original, 1, 3, table)).toEqual({
      document: { version: 3, room: "hall", lamps: ["a"], other: [1] },
      migrated: ["version 1 to 2: CallItRoom", "version 2 to 3: GiveEveryLampAName"],
    });
    expect(original).toEqual(before);
  });

  test("a gap, or a step twice, is refused", () => {
    expect(() => migrate({}, 1, 4, table)).toThrow("0 migrations from version 3");
    expect(() => migrate({}, 1, 2, [...table, ...table])).toThrow("2 migrations from version 1");
  });
});

describe("papers that a job does not name", () => {
  const without = (version: number, units: string) => {
    const { sheets: _, bundles: __, ...job } = sampleJob() as Record<string, unknown>;
    return readJob(JSON.stringify({ ...job, version, units, sheets: { face: "full" } })).job;
  };
  const [american, metric] = [["Letter", "Letter-2.625x1in"], ["A4", "A4-63.5x38.1"]] as const; // prettier-ignore

  test.each([
    [JOB_VERSION, "ft-in", american],
    [JOB_VERSION, "mm", metric],
    [JOB_VERSION, "m", metric],
    // until version 6 they were metric whatever the units
    [6, "ft-in", metric],
  ])("version %i in %s: %s", (version, units, [paper, labels]) => {
    const { sheets, bundles } = without(version, units);
    expect([sheets.paper, bundles.labels.sheet, sheets.face]).toEqual([paper, labels, "full"]);
  });

  test("what it names stays, and what is no object is refused where it stands", () => {
    const named = { ...sampleJob(), units: "ft-in", sheets: { paper: "ARCH D" } };
    expect(readJob(JSON.stringify(named)).job.sheets.paper).toBe("ARCH D");
    expect(faultsOf(JSON.stringify({ ...named, bundles: 3 }))[0]).toMatchObject({ path: "bundles" });
  });
});

describe("a new job starts from whole figures of its own units", () => {
  const started = (units: "ft-in" | "mm") => {
    const { job } = readJob(JSON.stringify(withWholeFigures({ ...sampleJob(), units } as JobInput)));
    delete job.ceiling.heightMm;
    return { ...job, height: heightAssumed(job) };
  };

  test("9 ft and 2 in of wrap in feet, 2700 and 50 mm in metric; what a job states stays", () => {
    expect(started("ft-in")).toMatchObject({ takeoff: { fabric: { wrapMm: 50.8 } } });
    expect(started("ft-in").height).toContain(`9' 0"`);
    expect(started("mm")).toMatchObject({ takeoff: { fabric: { wrapMm: 50 } } });
    expect(started("mm").height).toContain("2700 mm");
    const stated = { ...sampleJob(), units: "ft-in", takeoff: { fabric: { wrapMm: 60 } } } as JobInput;
    expect(withWholeFigures(stated)).toMatchObject({ takeoff: { fabric: { wrapMm: 60 } } });
  });

  test("shop rules are whole inches: 1, 2, 3 and 4 for 25, 50, 75 and 100 mm", () => {
    expect([25, 50, 75, 100].map((mm) => formatLength(ruleMm(mm, "ft-in"), "ft-in"))).toEqual([
      '1"',
      '2"',
      '3"',
      '4"',
    ]);
    expect(ruleMm(25, "m")).toBe(25);
  });

  test("a job of old that nobody measured keeps 2700 mm", () => {
    const old = JSON.parse(
      readFileSync(new URL("kept/version-7.velarium.json", import.meta.url), "utf8"),
    ) as { ceiling: { heightMm?: number } };
    delete old.ceiling.heightMm;
    expect(ceilingHeightMm(readJob(JSON.stringify(old)).job.ceiling)).toBe(2700);
  });
});

describe("jobs of older versions, kept as they were written", () => {
  const kept = (version: number) =>
    readFileSync(new URL(`kept/version-${version}.velarium.json`, import.meta.url), "utf8");

  test("version 1: what stood under `agreed` is kept as words, and nobody has agreed", () => {
    const { job, unknownKeys } = readJob(kept(1));
    expect(unknownKeys).toEqual([]);
    const [head] = job.ceiling.noGo;
    expect(head).toMatchObject({
      owner: "building owner",
      agreement: { answer: "open", who: "", on: "", words: "not yet" },
    });
    expect(head).not.toHaveProperty("agreed");
    expect(job.ceiling.noGo[3]!.agreement).toEqual({ answer: "open", who: "", on: "", words: "" });
  });

  test("version 2: a bearing that the job holds counts as given; without one it is not measured", () => {
    expect(readJob(kept(2)).job.ceiling).toMatchObject({ bearingDeg: 341, bearingFrom: "given" });
    const without = kept(2).replace('"bearingDeg": 341,', "");
    expect(readJob(without).job.ceiling).toMatchObject({ bearingDeg: 0, bearingFrom: "not-measured" });
    const needle = kept(2).replace('"bearingDeg": 341,', '"bearingDeg": 341, "magneticDeclinationDeg": -17,');
    expect(readJob(needle).job.ceiling).toMatchObject({ bearingFrom: "needle" });
  });

  test("version 3: strands set aside stay so many, pins stay where they are in the sky that was chosen", () => {
    const { job, unknownKeys } = readJob(kept(3));
    expect(unknownKeys).toEqual([]);
    expect(job.pattern.deeperShare).toBe(0.25);
    expect(job.pattern.byHand[0]).toEqual({ do: "pin", what: 97165, night: "reopening", atMm: [2612, 2208] });
    const bare = JSON.parse(kept(3)) as { pattern?: unknown };
    delete bare.pattern;
    expect(readJob(JSON.stringify(bare)).job.pattern.deeperShare).toBe(0);
  });

  test("version 5: phrases are codes, also in what was issued; what is the person's own stays", () => {
    const { job, unknownKeys } = readJob(kept(5));
    expect(unknownKeys).toEqual([]);
    expect(job.bundles).toMatchObject({ mode: "least-length", labels: { sheet: "Letter-2.625x1in" } });
    expect(job.takeoff).toMatchObject({
      fabric: { pile: "up" },
      rates: { source: "" },
      prices: { validity: 60 },
    });
    const other = kept(5)
      .replaceAll(/"place": "(closet|cabinet)"/g, '"place": "hard-wired above the ceiling"')
      .replace('"up the plan"', '"across the plan"')
      .replace('"least length"', '"equal parts"')
      .replace('"60 days"', '"until the end of May"')
      .replace('"common practice, no source"', '"our own"');
    const { job: changed } = readJob(other);
    for (const { place } of [...changed.bundles.engines, ...changed.issued!.engines])
      expect(place).toBe("above-ceiling");
    expect(changed.bundles.mode).toBe("equal-parts");
    expect(changed.takeoff).toMatchObject({
      fabric: { pile: "across" },
      rates: { source: "our own" },
      prices: { validity: "until the end of May" },
    });
  });

  test("version 6: a job in feet that named no label sheet keeps the A4 labels it was printed on", () => {
    const named = JSON.parse(kept(6)) as { bundles: { labels: { sheet?: string } } };
    expect(readJob(kept(6)).job.bundles.labels.sheet).toBe("Letter-2.625x1in");
    delete named.bundles.labels.sheet;
    expect(readJob(JSON.stringify(named)).job.bundles.labels.sheet).toBe("A4-63.5x38.1");
  });

  test("version 7: twinkle that was dealt stays dealt among an engine's holes; where none was, tiles deal", () => {
    expect(readJob(kept(6)).job.bundles.twinkle).toMatchObject({ kind: "channels", dealt: "engine" });
    expect(readJob(kept(7)).job.bundles.twinkle).toMatchObject({ kind: "none", dealt: "tile" });
  });
});

test("the published JSON Schema is the one that is used (npx tsx scripts/jobSchema.ts renews it)", () => {
  const file = new URL("../../src/job/velarium-job.schema.json", import.meta.url);
  expect(JSON.parse(readFileSync(file, "utf8"))).toEqual(JSON.parse(JSON.stringify(documentSchema())));
});
