import { beforeAll, describe, expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { CannotDo, JobFaults } from "../../src/job/faults.ts";
import { issuedTiles, packTile } from "../../src/issue/packed.ts";
import { issueTiles, takeBack } from "../../src/issue/make.ts";
import { writeJob } from "../../src/job/write.ts";
import type { Job } from "../../src/job/schema.ts";
import { demo, differences, issued, told, workedOut } from "./support.ts";

/** The issue asks that the demo stays below this. */
const MOST_BYTES = 200_000;

let job: Job;
beforeAll(async () => (job = await issued(demo)));

describe("what a job file keeps of an issue", () => {
  test("the demo with all its tiles issued is small", () => {
    const bytes = new TextEncoder().encode(writeJob(job)).length;
    expect(bytes).toBeLessThan(MOST_BYTES);
    expect(job.issued!.tiles.length).toBeGreaterThan(50);
  });

  test("packing and unpacking give the same, odd names as well", async () => {
    for (const [i, tile] of issuedTiles(job.issued).entries())
      expect(packTile(tile)).toEqual(job.issued!.tiles[i]);
    const byHand = [...demo.pattern.byHand, { do: "add" as const, atMm: [900, 3200] as [number, number], name: "a;b,c%3b %" }]; // prettier-ignore
    const odd = { ...demo, pattern: { ...demo.pattern, byHand } };
    const { holes } = (await workedOut(await issued(odd))).plan.pattern;
    expect(holes.filter(({ name }) => name === "a;b,c%3b %")).toHaveLength(1);
  });

  test.each([
    ["a hole moved by hand", (text: string) => text.replace(/(,f\d*|,s\d+)(,[-\d]*,[-\d]*),(\d+),/, (_, a: string, b: string, x: string) => `${a}${b},${Number(x) + 1},`), "as it was issued"], // prettier-ignore
    ["the revision changed", (text: string) => text.replace(/"row": 0,\s*"column": 0,\s*"revision": 1/, (found) => found.replace("1", "9")), "as it was issued"], // prettier-ignore
    ["half of it lost", (text: string) => text.replace(/"holes": "([^"]{40})[^"]*"/, '"holes": "$1"'), "as it was issued"], // prettier-ignore
  ])("%s: refused, with what to do", (_, damage, expected) => {
    const text = writeJob(job);
    expect(damage(text)).not.toBe(text);
    let faults: JobFaults["faults"] = [];
    try {
      checkJob(damage(text));
    } catch (error) {
      faults = (error as JobFaults).faults;
    }
    expect(faults).toHaveLength(1);
    expect(faults[0]!.path).toMatch(/^issued\.tiles\[\d+\]/);
    expect(faults[0]!.expected).toContain(expected);
    expect(faults[0]!.next).toContain("open the file as it was saved last");
  });

  test("a tile twice: refused", () => {
    const twice = {
      ...job,
      issued: { ...job.issued!, tiles: [...job.issued!.tiles, job.issued!.tiles[0]!] },
    };
    expect(() => checkJob(writeJob(twice))).toThrow(/each tile once/);
  });
});

describe("issuing and taking back", () => {
  test("tiles that wait for somebody are left out, and refused where they are named", async () => {
    const { plan, bundles } = await workedOut(demo);
    const all = issueTiles(plan, bundles, { on: "2029-06-01", exchanged: false });
    expect(all.held.map(({ tile }) => tile)).toEqual(["D5"]);
    expect(all.tiles).not.toContain("D5");
    for (const [tile, words] of [["D5", "HOLD"], ["Z9", "no tile Z9"], ["F8", "no hole"]] as const)
      expect(() => issueTiles(plan, bundles, { on: "2029-06-01", exchanged: false, tiles: [tile] })).toThrow(words); // prettier-ignore
  });

  test("tiles issued later keep their own day and revision; those of before stay as they were", async () => {
    const first = await issued(demo, ["A1", "A2"]);
    const changed = { ...first, revision: 2, pattern: { ...first.pattern, seed: 9, spacingMm: 10 } };
    const { plan, bundles } = await workedOut(changed);
    const second = issueTiles(plan, bundles, { on: "2029-07-02", exchanged: false }).job;
    const entries = new Map(second.issued!.tiles.map((entry) => [entry.tile, entry]));
    expect(entries.get("A1")).toEqual(first.issued!.tiles[0]);
    expect(entries.get("C4")).toMatchObject({ revision: 2, on: "2029-07-02" });
  });

  test("strands that a hole had none of yet are added by another issue; the hole stays", async () => {
    const bare = await issued({ ...demo, bundles: { ...demo.bundles, engines: [], kits: [], fixed: {} } }, ["A1", "A2"]); // prettier-ignore
    const own = new Set(["A1", "A2"]);
    const holesOnly = await workedOut(bare);
    expect(holesOnly.bundles.strands).toEqual([]);
    const lit = await workedOut({ ...bare, bundles: demo.bundles });
    expect(lit.bundles.strands.filter(({ tile }) => own.has(tile)).length).toBeGreaterThan(10);
    const again = issueTiles(lit.plan, lit.bundles, { on: "2029-06-09", exchanged: false, tiles: ["A1", "A2"] }).job; // prettier-ignore
    const after = await workedOut({ ...again, pattern: { ...again.pattern, seed: 77, spacingMm: 9 } });
    expect(differences(told(lit, own), told(after, own))).toEqual([]);
  });

  test("taken back, a tile is worked out again, and the others stand", async () => {
    const changed = { ...job, pattern: { ...job.pattern, spacingMm: 12 } };
    const less = takeBack(changed, ["C4", "C5"]);
    const after = await workedOut(less);
    const standing = new Set(less.issued!.tiles.map(({ tile }) => tile));
    expect(standing.has("C4")).toBe(false);
    expect(differences(told(await workedOut(job), standing), told(after, standing))).toEqual([]);
    expect(takeBack(less, [...standing]).issued).toBeNull();
    expect(() => takeBack(less, ["C4"])).toThrow(CannotDo);
    expect(() => takeBack(demo, ["C4"])).toThrow("Nothing of this job is issued");
  });
});

describe("an issue that no longer fits the survey is kept, and said on every paper that tells of holds", () => {
  const holds = async (change: (one: Job["ceiling"]) => Partial<Job["ceiling"]>) => {
    const after = await workedOut({ ...job, ceiling: { ...job.ceiling, ...change(job.ceiling) } });
    const own = new Set(job.issued!.tiles.map(({ tile }) => tile));
    expect(differences(told(await workedOut(job), own), told(after, own))).toEqual([]);
    return after.plan.warnings.filter(({ code }) => code === "issued-misfit").map(({ message }) => message);
  };

  test("a no-go thing over issued holes", async () => {
    const said = await holds((ceiling) => ({ noGo: [...ceiling.noGo, { ...ceiling.noGo[0]!, name: "new head", circle: { centreMm: [900, 2500], radiusMm: 38 } }] })); // prettier-ignore
    expect(said).toHaveLength(1);
    expect(said[0]).toMatch(
      /^HOLD tile C2: .* holes \([\d, ]+\) lie within 50 mm \(1 15\/16"\) of sprinkler 'new head'/,
    );
  });

  test("a tile that is now left alone, other edges, a tile that is gone", async () => {
    expect(await holds((ceiling) => ({ tiles: { ...ceiling.tiles, A2: { use: "plain", why: "hatch" } } }))).toEqual([expect.stringMatching(/HOLD tile A2: .*"plain" \(hatch\)/)]); // prettier-ignore
    expect((await holds((ceiling) => ({ grid: { ...ceiling.grid, originMm: [100, 0] } }))).join()).toContain("other edges"); // prettier-ignore
    const smaller = await holds(() => ({ outlineMm: [[0, 0], [3000, 0], [3000, 4064], [0, 4064]], walls: [], noGo: [], tiles: {} })); // prettier-ignore
    expect(smaller.join()).toContain("no such tile any more");
  });
});
