import { readFileSync, writeFileSync } from "node:fs";
import { afterAll, describe, expect, test } from "vitest";
import { contents, scratch, velarium } from "./run.ts";

const DEMO = "demo/harbour-dining-room.velarium.json";
const folder = scratch();
afterAll(() => folder.remove());

interface Demo {
  revision: number;
  bundles: {
    engines: { letter: string; atMm: [number, number]; reachM: number }[];
    kits: unknown[];
    fixed?: object;
  };
  takeoff: { rates?: object; grid: object };
}

function changed(name: string, change: (job: Demo) => void): string {
  const job = JSON.parse(readFileSync(DEMO, "utf8")) as Demo;
  change(job);
  const path = folder.path(name);
  writeFileSync(path, JSON.stringify(job));
  return path;
}

describe("bundles, order, pack through the real command", () => {
  test("the demo: every hole lit, the gap told, a folder whole", async () => {
    const { code, out, err } = await velarium(["bundles", DEMO, "--out", folder.path("bundles")]);
    expect([code, err.includes("expected")]).toEqual([0, false]);
    expect(out).toMatch(/A: \d+ of 600 strands/);
    expect(out).toMatch(/proven within \d+\.\d+ % of the best/);
    expect(out).not.toContain("have no strand");
    expect([...contents(folder.path("bundles")).keys()]).toEqual([
      "files.sha256",
      "labels.csv",
      "labels.pdf",
      "strands.csv",
      "tails.csv",
    ]);
  }, 60_000);

  test("engines stand in holes.csv as in strands.csv", async () => {
    await velarium(["plan", DEMO, "--out", folder.path("plan")]);
    const rows = (words: string) => words.trim().split("\r\n").slice(1); // prettier-ignore
    const holes = rows(contents(folder.path("plan")).get("holes.csv")!.toString());
    const strands = rows(contents(folder.path("bundles")).get("strands.csv")!.toString());
    // a hole has a row for each of its strands
    expect(holes.map((row) => `${row.split(",")[0]} ${row.split(",").at(-1)}`)).toEqual([
      ...new Set(strands.map((row) => `${row.split(",")[0]} ${row.split(",")[3]}`)),
    ]);
    const count = holes.reduce((sum, row) => sum + Number(row.split(",").at(-2)), 0);
    expect(strands).toHaveLength(count);
  }, 120_000);

  test("the cost of giving a tile to another engine", async () => {
    const { code, out } = await velarium(["bundles", DEMO, "--fix", "B6=B", "--json"]);
    expect(code).toBe(0);
    expect((JSON.parse(out) as { strandM: number }).strandM).toBeGreaterThan(0);
    const wrong = await velarium(["bundles", DEMO, "--fix", "B6"]);
    expect([wrong.code, wrong.err.includes("--fix")]).toEqual([2, true]);
  }, 120_000);

  test("order: lines, hours and price; quote and cut plan written", async () => {
    const { code, out } = await velarium(["order", DEMO, "--out", folder.path("order")]);
    expect(code).toBe(0);
    expect(out).toMatch(/fabric: \d+ ft \(/);
    expect(out).toMatch(/net CAD\u00A0/);
    expect([...contents(folder.path("order")).keys()]).toEqual([
      "cut-plan.svg",
      "files.sha256",
      "order.csv",
      "quote.csv",
      "quote.pdf",
    ]);
  }, 60_000);

  test("pack with what changed since: tiles, stale sheets, the revision to write", async () => {
    const now = changed("now.velarium.json", (job) => {
      job.bundles.fixed = { B6: "B" };
    });
    const { code, out, err } = await velarium(["pack", now, "--since", DEMO, "--out", folder.path("pack")]);
    expect(code).toBe(0);
    expect(out).toMatch(/since revision 1: tiles .*B6/);
    expect(out).toContain("stale: van.pdf");
    expect(err).toContain("write revision 2 into the job");
    expect([...contents(folder.path("pack")).keys()]).toEqual(["client.pdf", "files.sha256", "labels.csv", "labels.pdf", "strands.csv", "tails.csv", "van.pdf"]); // prettier-ignore
  }, 120_000);

  test("over a limit: said with the number, exit 1, and everything else written", async () => {
    const over = changed("over.velarium.json", (job) => {
      job.bundles.engines[0]!.atMm = [-3000, 900];
      job.bundles.engines[1]!.reachM = 4;
      Object.assign(job.takeoff, {
        rates: { pokeHolesPerH: 0 },
        grid: { loadClass: "light", tileKgPerM2: 9 },
      });
    });
    const { code, err } = await velarium(["pack", over, "--out", folder.path("over")]);
    expect(code).toBe(1);
    // 2000 mm; the demo is in feet and inches
    expect(err).toContain(`engine A 6' 6 3/4" too far outside`);
    expect(err).toContain("0 for punch");
    expect(err).toMatch(/lb\/ft too much/);
    expect([...contents(folder.path("over")).keys()]).toContain("van.pdf");
  }, 60_000);

  test("without engines: bundles can't, order can and says that lengths are assumed", async () => {
    const bare = changed("bare.velarium.json", (job) => {
      job.bundles.engines = [];
      job.bundles.kits = [];
    });
    const bundles = await velarium(["bundles", bare]);
    expect([bundles.code, bundles.err.includes("at least one light engine")]).toEqual([1, true]);
    const order = await velarium(["order", bare]);
    expect([order.code, order.err.includes(`every strand is counted at 13' 1"`)]).toEqual([0, true]);
  }, 60_000);
});
