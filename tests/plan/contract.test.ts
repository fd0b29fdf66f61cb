import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, test } from "vitest";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { loadFonts } from "../../src/cli/fonts.ts";
import { planJob } from "../../src/work/planJob.ts";
import type { Planned } from "../../src/plan.ts";
import { planFiles } from "../../src/sheets/planFiles.ts";

/** What other tools rely on: DEVELOPERS.md, "What a plan writes", word for word, on the demo as written. */
const HOLES =
  "hole,tile,number,kind,star,name,magnitude,true_x_mm,true_y_mm,x_mm,y_mm,tile_x_mm,tile_y_mm,diameter_mm,strands,engine";
const LOST = "star,name,magnitude,true_x_mm,true_y_mm,reason";

let plan: Planned;
let written: Map<string, Uint8Array>;

beforeAll(async () => {
  const catalog = await loadCatalog();
  const { job } = checkJob(readFileSync("demo/harbour-dining-room.velarium.json"));
  job.sheets.sides = ["back"];
  plan = planJob(job, catalog);
  const files = await planFiles(plan, { fonts: await loadFonts(), figures: catalog.figures });
  written = new Map(files.map((file) => [file.path, file.bytes]));
});

const text = (path: string): string => new TextDecoder().decode(written.get(path));

/** RFC 4180, read by code that knows nothing of the writer. */
function readCsv(path: string, header: string): Record<string, string>[] {
  const [first, ...rows] = text(path)
    .split(/\r?\n/)
    .filter((line) => line !== "");
  expect(first).toBe(header);
  return rows.map((row) => {
    const cells = [...row.matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^,]*))/g)].map(
      ([, quoted, plain]) => quoted?.replaceAll('""', '"') ?? plain ?? "",
    );
    expect(cells).toHaveLength(header.split(",").length);
    return Object.fromEntries(header.split(",").map((name, i) => [name, cells[i] as string]));
  });
}

describe("holes.csv", () => {
  test("has a row for every hole, numbers with a point, blanks where filler has no sky", () => {
    const rows = readCsv("holes.csv", HOLES);
    expect(rows).toHaveLength(plan.pattern.holes.length);
    rows.forEach((row, i) => {
      expect(row["hole"]).toBe(String(i + 1));
      expect(row["kind"]).toMatch(/^(star|moon|planet|filler)$/);
      expect(row["tile"]).toMatch(/^[A-Z]+\d+(-\d+)?$/);
      for (const key of ["x_mm", "y_mm", "tile_x_mm", "tile_y_mm", "diameter_mm"]) {
        expect(row[key]).toMatch(/^-?\d+(\.\d+)?$/);
      }
      const sky = [row["star"], row["name"], row["true_x_mm"], row["true_y_mm"]];
      if (row["kind"] === "filler") expect(sky).toEqual(["", "", "", ""]);
      if (row["kind"] === "star") expect(sky.every((cell) => cell !== "")).toBe(true);
    });
  });

  test("tile_x_mm, tile_y_mm run from the tile's lower left corner, seen from above", () => {
    const corners = new Map(plan.ceiling.tiles.map((tile) => [tile.name, tile.box]));
    for (const row of readCsv("holes.csv", HOLES)) {
      const box = corners.get(row["tile"]!)!;
      expect(Number(row["x_mm"]) - Number(row["tile_x_mm"])).toBeCloseTo(box.minX / 1000, 6);
      expect(Number(row["y_mm"]) - Number(row["tile_y_mm"])).toBeCloseTo(box.minY / 1000, 6);
    }
  });
});

describe("lost.csv", () => {
  test("and holes.csv together hold every star of the ceiling brighter than the faintest used, once", () => {
    const lost = readCsv("lost.csv", LOST);
    const used = readCsv("holes.csv", HOLES).flatMap((row) => (row["star"] ? [row["star"]] : []));
    const all = [...used, ...lost.map((row) => row["star"]!)];
    expect(new Set(all).size).toBe(all.length);
    for (const row of lost) {
      expect(Number(row["magnitude"])).toBeLessThanOrEqual(plan.pattern.fidelity.faintestMagnitude!);
      expect(row["reason"]).not.toBe("");
    }
    expect(lost.map((row) => row["star"])).toContain("80816");
  });
});

describe("plan.json", () => {
  test("tells counts, fidelity, the resolved UTC, the Sun, warnings and cautions", () => {
    const told = JSON.parse(text("plan.json")) as Record<string, unknown>;
    expect(told).toMatchObject({
      sky: { utc: "2029-09-09T01:00:00Z", sunAltitudeDeg: expect.closeTo(-23.9, 0) as number },
      fidelity: plan.pattern.fidelity,
      warnings: plan.warnings,
    });
    expect(Object.keys(told)).toEqual(expect.arrayContaining(["counts", "limits", "tiles", "engines"]));
    expect((told["cautions"] as unknown[]).length).toBeGreaterThan(10);
  });
});

test("no file of a plan says that anything is fine by the rules", () => {
  for (const path of ["plan.json", "plan.svg", "holes.csv", "lost.csv"]) {
    expect(text(path)).not.toMatch(/\b(compliant|compliance|is safe|ok)\b/i);
  }
});

test("the sheets, the whole ceiling and both tables are there", () => {
  expect([...written.keys()]).toEqual(
    expect.arrayContaining([
      "holes.csv",
      "lost.csv",
      "plan.json",
      "plan.svg",
      "plan.dxf",
      "sheets/templates-back.pdf",
    ]),
  );
  const tiles = new Set(plan.pattern.holes.map((hole) => hole.tile));
  for (const tile of tiles) expect(written.has(`sheets/svg/${tile}-back.svg`)).toBe(true);
});
