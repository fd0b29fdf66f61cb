import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import PDFDocument from "pdfkit";
import { checkJob } from "../../src/check.ts";
import { loadCatalog } from "../../src/cli/catalogFiles.ts";
import { loadFonts } from "../../src/cli/fonts.ts";
import { planJob } from "../../src/work/planJob.ts";
import { planFiles } from "../../src/sheets/planFiles.ts";
import { medianMs, medianMsAsync } from "./measure.ts";
import type { BenchLine } from "./measure.ts";

const DEMO = "demo/harbour-dining-room.velarium.json";

/** The demo warm without and with its sheets, and the cold command. */
export async function benchWhole(): Promise<BenchLine[]> {
  const catalog = await loadCatalog();
  const fonts = await loadFonts();
  const { job } = checkJob(readFileSync(DEMO));
  job.sheets = { ...job.sheets, paper: "A4", sides: ["back"] };
  const plan = planJob(job, catalog);
  const planMs = medianMs(15, 5, () => planJob(job, catalog));
  const parseMs = medianMs(15, 5, () => checkJob(readFileSync(DEMO)));

  const withSheets = (): Promise<unknown> =>
    planFiles(planJob(job, catalog), { fonts, figures: catalog.figures });
  const sheetsMs = await medianMsAsync(5, 2, withSheets);
  const pages = pageCount(await planFiles(plan, { fonts }));
  const bareMs = await medianMsAsync(5, 1, () => barePdf(pages, plan.pattern.holes.length));

  return [
    {
      what: `${plan.pattern.holes.length} strands, ${plan.ceiling.tiles.length} tiles: job to holes, warm`,
      measured: `${planMs.toFixed(0)} ms`,
      goal: "≤ 150 ms",
      reference: `reading and checking the same job: ${parseMs.toFixed(1)} ms`,
    },
    {
      what: `the same with all its A4 sheets (${pages} pages)`,
      measured: `${(sheetsMs / 1000).toFixed(2)} s`,
      goal: "≤ 3 s",
      reference: `pdfkit alone, as many bare pages and circles: ${(bareMs / 1000).toFixed(2)} s`,
    },
    ...coldCommands(),
  ];
}

function pageCount(files: { path: string; bytes: Uint8Array }[]): number {
  const pdf = files.find((file) => file.path === "sheets/templates-back.pdf");
  return (
    Buffer.from(pdf?.bytes ?? [])
      .toString("latin1")
      .split("/Type /Page\n").length - 1
  );
}

function barePdf(pages: number, holes: number): Promise<number> {
  return new Promise((done) => {
    const pdf = new PDFDocument({ autoFirstPage: false, size: "A4", compress: true });
    let size = 0;
    pdf.on("data", (bytes: Uint8Array) => (size += bytes.length));
    pdf.on("end", () => done(size));
    for (let page = 0; page < pages; page++) {
      pdf.addPage();
      for (let i = 0; i < holes / pages; i++)
        pdf.circle(40 + ((i * 37) % 500), 60 + ((i * 91) % 700), 2).stroke();
      pdf.text(`page ${page}`, 40, 40);
    }
    pdf.end();
  });
}

/** The demo as it is, and without its engines: sharing tiles out has a time of its own to hold. */
function coldCommands(): BenchLine[] {
  const folder = mkdtempSync(join(tmpdir(), "velarium-bench-"));
  const unbundled = join(folder, "unbundled.velarium.json");
  writeFileSync(unbundled, JSON.stringify({ ...JSON.parse(readFileSync(DEMO, "utf8")), bundles: {} }));
  const timed = (...args: string[]) =>
    medianMs(5, 1, () => {
      const { status, stderr } = spawnSync("npm", ["run", "--silent", "velarium", "--", ...args]);
      if (status !== 0) throw new Error(String(stderr));
    });
  const planned = (job: string) => timed("plan", job, "--out", join(folder, "out"), "--replace");
  try {
    const reference = `the same command asked for its version: ${(timed("--version") / 1000).toFixed(2)} s`;
    return [
      {
        what: "cold command: the demo shared out to its engines, with both sides of its sheets, to files on disk",
        measured: `${(planned(DEMO) / 1000).toFixed(2)} s`,
        goal: "≤ 4 s",
        reference,
      },
      {
        what: "the same without engines",
        measured: `${(planned(unbundled) / 1000).toFixed(2)} s`,
        goal: "≤ 4 s",
        reference,
      },
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
