import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { holeMm } from "../../src/pattern/packing.ts";
import type { Planned } from "../../src/plan.ts";
import { planFiles, streamPlan } from "../../src/sheets/planFiles.ts";
import type { OutFile } from "../../src/sheets/files.ts";
import { fixturePlan, fonts } from "./fixture.ts";
import { withFile } from "./readPdf.ts";

const reader = fileURLToPath(new URL("readCad.py", import.meta.url));

interface Dxf {
  version: string;
  units: number;
  errors: string[];
  fixes: string[];
  circles: [string, number, number, number][];
  lines: [string, number, number, number, number][];
  texts: string[];
}
interface Svg {
  width: string;
  height: string;
  viewBox: string;
  tags: string[];
  circles: [string, number, number, number][];
  texts: string[];
  brackets: string[];
}

function read<T>(files: OutFile[], path: string): T {
  const file = files.find((f) => f.path === path);
  if (!file) throw new Error(`${path} is not among ${files.map((f) => f.path).join(", ")}`);
  return withFile(path.replace(/.*\//, ""), file.bytes, (where) =>
    JSON.parse(execFileSync("/usr/bin/python3", [reader, where], { encoding: "utf8", maxBuffer: 2 ** 28 })),
  ) as T;
}

const onHoleLayers = ({ circles }: Dxf | Svg) => circles.filter(([layer]) => layer.startsWith("HOLES-"));

/** Sorted "x y diameter" in micrometres: two sets of holes are the same when these lists are. */
const keys = (holes: { x: number; y: number; d: number }[]): string[] =>
  holes.map(({ x, y, d }) => [x, y, d].map((mm) => Math.round(mm * 1000)).join(" ")).sort();

describe("drawings, read by ezdxf and ElementTree", () => {
  let plan: Planned;
  let files: OutFile[];

  beforeAll(async () => {
    plan = fixturePlan({ perTile: 15 });
    files = await planFiles(plan, { fonts, tiles: ["C4", "B6", "E4", "A1"] });
  });

  it.each(["C4", "B6", "E4", "A1"])(
    "DXF of %s: audit clean, mm, each hole a circle of its strand's size",
    (tile) => {
      const holes = plan.pattern.holes.filter((h) => h.tile === tile);
      const { box } = plan.ceiling.tiles.find((t) => t.name === tile)!;
      const width = (box.maxX - box.minX) / 1000;
      for (const side of ["back", "face"] as const) {
        const dxf = read<Dxf>(files, `sheets/dxf/${tile}-${side}.dxf`);
        expect(dxf.errors).toEqual([]);
        expect(dxf.fixes).toEqual([]);
        expect(dxf.units).toBe(4); // millimetres, DXF reference $INSUNITS
        expect(dxf.version).toBe("AC1021");
        const expected = holes.map((h) => ({
          x: side === "back" ? h.tileXMm : width - h.tileXMm,
          y: h.tileYMm,
          d: holeMm(h),
        }));
        const found = onHoleLayers(dxf).map(([, x, y, r]) => ({ x, y, d: 2 * r }));
        expect(keys(found)).toEqual(keys(expected));
        for (const [layer, , , r] of onHoleLayers(dxf)) expect(layer).toBe(`HOLES-${(2 * r).toFixed(2)}`);
        // Rightly placed against the tile: a bracket begins at the tile's own corner (0, 0).
        const corner = dxf.lines.some(([layer, x, y]) => layer === "BRACKETS" && Math.hypot(x, y) < 0.001);
        expect(corner).toBe(true);
      }
    },
  );

  it("SVG of a tile: real millimetres, every hole in place from the bracket of the datum", () => {
    const tile = "C4";
    const svg = read<Svg>(files, `sheets/svg/${tile}-back.svg`);
    const [, , width, height] = svg.viewBox.split(" ");
    expect(svg.width).toBe(`${width}mm`);
    expect(svg.height).toBe(`${height}mm`);
    const points = [...svg.brackets.join("").matchAll(/M([\d.]+) ([\d.]+)/g)].map((m) => [
      Number(m[1]),
      Number(m[2]),
    ]);
    const datum = [Math.min(...points.map((p) => p[0]!)), Math.max(...points.map((p) => p[1]!))];
    const found = onHoleLayers(svg).map(([, x, y, r]) => ({ x: x - datum[0]!, y: datum[1]! - y, d: 2 * r }));
    const holes = plan.pattern.holes.filter((h) => h.tile === tile);
    expect(keys(found)).toEqual(keys(holes.map((h) => ({ x: h.tileXMm, y: h.tileYMm, d: holeMm(h) }))));
    expect(svg.tags).toEqual(
      ["circle", "g", "path", "rect", "svg", "text", "title"].filter((t) => svg.tags.includes(t)),
    );
  });

  it("plan.dxf and plan.svg hold every hole of the ceiling at its place on the plan", () => {
    const expected = keys(plan.pattern.holes.map((h) => ({ x: h.xMm, y: h.yMm, d: holeMm(h) })));
    const dxf = read<Dxf>(files, "plan.dxf");
    expect(dxf.errors).toEqual([]);
    expect(dxf.fixes).toEqual([]);
    expect(keys(onHoleLayers(dxf).map(([, x, y, r]) => ({ x, y, d: 2 * r })))).toEqual(expected);
    const svg = read<Svg>(files, "plan.svg");
    expect(onHoleLayers(svg)).toHaveLength(plan.pattern.holes.length);
    expect(svg.texts).toContain("screen wall");
    expect(svg.texts).toContain("B2 plain");
    expect(svg.texts).toContain("Plan, seen from above");
  });

  it("names the zones that touch a tile, and only there", () => {
    const label = "NO HOLES: sprinkler + 50 mm";
    expect(read<Dxf>(files, "sheets/dxf/E4-back.dxf").texts).toContain(label);
    expect(read<Dxf>(files, "sheets/dxf/C4-back.dxf").texts).not.toContain(label);
  });

  it("the pack is few, obvious files", () => {
    const paths = files.map((f) => f.path).filter((path) => !/^sheets\/(svg|dxf)\//.test(path));
    expect(paths).toEqual([
      "holes.csv",
      "lost.csv",
      "plan.json",
      "plan.svg",
      "plan.dxf",
      "sheets/overview.pdf",
      "sheets/templates-back.pdf",
      "sheets/check-face.pdf",
    ]);
    expect(files).toHaveLength(8 + 4 * 2 * 2);
  });
});

describe("hostile text", () => {
  const evil = '<script>alert("1")</script>';
  const change = (job: Parameters<NonNullable<Parameters<typeof fixturePlan>[0]>["change"] & object>[0]) => {
    job.title = `${evil} \u6F22`;
    job.client = "=HYPERLINK(1)";
    job.firm = "%%c \\U+0041 ^J";
    job.ceiling.walls = ["../../etc/passwd", "a\u0000b\nc\u202Ed", "&amp;", "]]>"];
    job.ceiling.noGo![1]!.name = evil;
  };
  let files: OutFile[];
  const warnings: string[] = [];

  beforeAll(async () => {
    const plan = fixturePlan({ perTile: 3, change });
    plan.pattern.holes[0]!.name = '=cmd|"/c calc"!A1';
    plan.pattern.holes[1]!.tile = plan.pattern.holes[0]!.tile;
    files = await planFiles(plan, { fonts, tiles: ["E4", "E6"], onWarning: (w) => warnings.push(w.message) });
  });

  it("stays text in SVG", () => {
    for (const path of ["plan.svg", "sheets/svg/E6-back.svg"]) {
      const svg = read<Svg>(files, path);
      expect(svg.tags).not.toContain("script");
      expect(svg.texts.some((words) => words.includes("<script>"))).toBe(true);
    }
    expect(read<Svg>(files, "plan.svg").texts).toContain("../../etc/passwd");
    expect(read<Svg>(files, "plan.svg").texts).toContain("a b c d");
  });

  it("stays text in DXF: no control codes of the format", () => {
    const dxf = read<Dxf>(files, "plan.dxf");
    expect(dxf.errors).toEqual([]);
    expect(dxf.texts.join("\n")).not.toMatch(/\u00D8|\u2300/); // what %%c would have become
    expect(dxf.texts.some((words) => words.includes("/U+0041"))).toBe(true);
  });

  it("stays text in the PDF, with its code point for what the font lacks and a warning that names it", () => {
    const pdf = files.find((f) => f.path === "sheets/templates-back.pdf")!;
    const words = withFile("a.pdf", pdf.bytes, (path) =>
      execFileSync("pdftotext", ["-raw", path, "-"], { encoding: "utf8" }),
    );
    expect(words).toContain("<script>");
    expect(words).toContain("U+6F22");
    expect(warnings).toEqual([expect.stringContaining("U+6F22")]);
  });

  it("cannot leave its folder or run in a spreadsheet", () => {
    for (const { path } of files) expect(path).toMatch(/^([a-z]+\/)*[A-Za-z0-9_-]+\.(csv|json|svg|dxf|pdf)$/);
    const csv = new TextDecoder().decode(files.find((f) => f.path === "holes.csv")!.bytes);
    expect(csv).toContain(`"'=cmd|""/c calc""!A1"`);
  });
});

it("files are handed on tile by tile as they are drawn, none ahead, and a wish to stop comes in between", async () => {
  const stop = new AbortController();
  let drawn = 0;
  const plan = fixturePlan({ perTile: 3 });
  const stream = await streamPlan(plan, {
    fonts,
    sides: ["back"],
    signal: stop.signal,
    onProgress: (done) => void (drawn = done),
  });
  let handed = 0;
  const taken = async (): Promise<void> => {
    for await (const { path } of stream) {
      if (!path.endsWith("-back.dxf")) continue;
      expect(drawn).toBe(handed++);
      if (handed === 3) stop.abort();
    }
  };
  await expect(taken()).rejects.toThrow(/abort/);
  expect(handed).toBe(3);
});
