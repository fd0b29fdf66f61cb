import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { NODE } from "../../src/cli/work.ts";
import type { Job } from "../../src/job/schema.ts";
import { countStrands, holeMm } from "../../src/pattern/packing.ts";
import { packPaper } from "../../src/sheets/papers.ts";
import { collected, type OutFile } from "../../src/sheets/files.ts";
import { sideFile, printingOf } from "../../src/sheets/laid.ts";
import { choose, planned } from "../../src/work/stage.ts";
import { Work } from "../../src/work/work.ts";
import { readPdf, withFile } from "./readPdf.ts";
import { unreadable } from "./readable.ts";
import { THREE_JOBS } from "./threeJobs.ts";
import { marksOn } from "./understand.ts";

/**
 * Everything a job prints, read by programs that are not ours: poppler for words, MuPDF for marks, ezdxf for DXF.
 * One small job on two papers; `PAPERS=all` reads three jobs on six papers each, which takes minutes (`-t "foyer on A4 "`: one
 * of them alone).
 */
const LONG = process.env["PAPERS"] === "all";
const PAPERS = LONG ? ["A4", "A2", "Letter", "ARCH D", "Roll 24 in", "Roll 36 in"] : ["Letter", "ARCH D"];
const JOBS = LONG ? Object.keys(THREE_JOBS) : ["foyer"];
const CASES = JOBS.flatMap((job) => PAPERS.map((paper) => [job, paper] as const));

const utf8 = new TextDecoder();
const isPdf = ({ path }: OutFile): boolean => path.endsWith(".pdf");
const csvRows = (file: OutFile): string[] => utf8.decode(file.bytes).trim().split("\r\n").slice(1);
const reader = fileURLToPath(new URL("readCad.py", import.meta.url));
const circlesOf = (file: OutFile): [string, number, number, number][] =>
  withFile(file.path.replace(/.*\//, ""), file.bytes, (path) => {
    const read = execFileSync("/usr/bin/python3", [reader, path], { encoding: "utf8", maxBuffer: 2 ** 28 });
    const { circles, errors = [] } = JSON.parse(read) as { circles: [string, number, number, number][]; errors?: string[] }; // prettier-ignore
    expect(errors).toEqual([]);
    return circles.filter(([layer]) => layer.startsWith("HOLES-"));
  });
const textOf = (file: OutFile): string =>
  withFile("x.pdf", file.bytes, (path) => execFileSync("pdftotext", ["-layout", path, "-"], { encoding: "utf8", maxBuffer: 1e9 })); // prettier-ignore

async function everything(job: Job) {
  const work = new Work(NODE, 20);
  const chosen = choose(job);
  const [plan, pack, order, skySheet] = [
    await collected(await work.print(chosen, "plan", {})),
    await work.print(chosen, "pack", {}),
    await work.print(chosen, "order", {}),
    await work.print(chosen, "skySheet", { paper: packPaper(job) }),
  ];
  const files = [...plan, ...pack, ...order, { path: "sky-sheet.pdf", bytes: skySheet }];
  return { files, made: await work.upTo(chosen, "takeoff") };
}

describe.each(CASES)("all papers of the %s on %s", (name, paper) => {
  const job = THREE_JOBS[name]!();
  const own = { ...job, sheets: { ...job.sheets, paper } };
  let made: ReturnType<typeof everything> | undefined;
  const printed = () => (made ??= everything(own));

  it(
    "no word lies over another, is cut, off the page, or smaller than 7 points",
    { timeout: 600_000 },
    async () => {
      const { files } = await printed();
      const pdfs = files.filter(isPdf);
      expect(pdfs.length).toBeGreaterThan(6);
      expect(pdfs.flatMap(({ path, bytes }) => unreadable(path, bytes))).toEqual([]);
    },
  );

  it("holes and strands are as many on every paper and in every file", { timeout: 600_000 }, async () => {
    const { files, made } = await printed();
    const { pattern } = planned(made);
    const { bundles } = made.bundles;
    const file = (path: string): OutFile => files.find((one) => one.path === path)!;
    const holes = pattern.holes.length;
    expect(csvRows(file("holes.csv"))).toHaveLength(holes);
    expect((JSON.parse(utf8.decode(file("plan.json").bytes)) as { counts: object }).counts).toMatchObject({
      holes,
      strands: countStrands(pattern.holes),
    });
    const printing = printingOf(own);
    const lined = files.some(({ path }) => path === "sheets/coordinates.pdf")
      ? textOf(file("sheets/coordinates.pdf")).match(/^Tile \S+: (\d+) holes?,/gm)!
      : [];
    const listed = lined.reduce((sum, line) => sum + Number(/: (\d+)/.exec(line)![1]), 0);
    for (const side of own.sheets.sides) {
      const pages = readPdf(file(sideFile(side, printing)).bytes);
      if (side === "face" && !printing.fullFace) {
        expect(pages).toHaveLength(new Set(pattern.holes.map(({ tile }) => tile)).size);
        continue;
      }
      const marked = pages.reduce((sum, page) => sum + marksOn(page).length, 0);
      expect(marked + listed, side).toBe(holes);
    }
    // ezdxf and ElementTree: the whole plan, and every tile from both sides
    expect(circlesOf(file("plan.dxf"))).toHaveLength(holes);
    const tiles = files.filter(({ path }) =>
      LONG ? /^sheets\/dxf\/.*-back/.test(path) : /^sheets\/dxf\/B2-/.test(path),
    );
    for (const tile of tiles) {
      const name = /dxf\/(.+)-/.exec(tile.path)![1];
      const wanted = pattern.holes
        .filter((hole) => hole.tile === name)
        .map((hole) => (holeMm(hole) / 2).toFixed(3))
        .sort();
      expect(
        circlesOf(tile)
          .map(([, , , radius]) => radius.toFixed(3))
          .sort(),
        tile.path,
      ).toEqual(wanted);
    }
    expect(csvRows(file("strands.csv"))).toHaveLength(bundles.strands.length);
    const van = textOf(file("van.pdf"));
    expect(van).toContain(`${holes}, for ${countStrands(pattern.holes)} strands`);
    // bench list: "Tile C4: 18 holes, 21 strands"
    const bench = [...van.matchAll(/^ *Tile (\S+): (\d+) holes?, (\d+) strands?$/gm)];
    expect(bench.reduce((sum, [, , count]) => sum + Number(count), 0)).toBe(holes);
    expect(bench.reduce((sum, [, , , count]) => sum + Number(count), 0)).toBe(countStrands(pattern.holes));
    // the client's tiles carry what shines
    const lit = new Set(bundles.strands.map(({ hole }) => hole)).size;
    const client = [...textOf(file("client.pdf")).matchAll(/^ *Tile (\S+): (\d+) holes/gm)];
    expect(client.reduce((sum, [, , count]) => sum + Number(count), 0)).toBe(lit);
  });
});
