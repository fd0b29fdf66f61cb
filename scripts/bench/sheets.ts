import { readFileSync } from "node:fs";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { loadFonts } from "../../src/cli/fonts.ts";
import { planJob } from "../../src/work/planJob.ts";
import { makeSheets } from "../../src/sheets/files.ts";
import { barsOf, readPdf } from "../../tests/sheets/readPdf.ts";
import { pdfOf, understand, worstMatch } from "../../tests/sheets/understand.ts";
import type { BenchLine } from "./measure.ts";

/** How far the demo's printed marks lie from its holes: MuPDF reads the finished PDF back. */
export async function benchSheets(): Promise<BenchLine[]> {
  const { job } = checkJob(readFileSync("demo/harbour-dining-room.velarium.json"));
  const plan = planJob(job, await loadCatalog());
  const files = await makeSheets(plan, { fonts: await loadFonts(), sides: ["back"] });
  const pages = readPdf(pdfOf(files, "back"));
  const { worst, matched } = worstMatch(
    plan,
    pages.map((page) => understand(page, "back")),
  );
  const bars = pages.flatMap(barsOf).map(([p, q]) => Math.hypot(q![0] - p![0], q![1] - p![1]));
  const worstBar = Math.max(...bars.map((mm) => Math.abs(mm - 150)));
  return [
    {
      what: `hole on the printed page against holes.csv, worst of ${matched} on ${pages.length} pages`,
      measured: `${worst.toFixed(4)} mm`,
      goal: "≤ 0.05 mm",
      reference: `its ${bars.length} bars of 150 mm, read by MuPDF too: off by ${worstBar.toFixed(4)} mm at most`,
    },
  ];
}
