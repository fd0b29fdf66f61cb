import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Plan } from "../../src/plan.ts";
import { makeSheets } from "../../src/sheets/files.ts";
import { countPages } from "../../src/sheets/pages.ts";
import { paperByName } from "../../src/sheets/papers.ts";
import type { FontBytes } from "../../src/sheets/typeface.ts";

export interface SheetsBench {
  paper: string;
  pages: number;
  /** Median of the runs after the first, which warms the engine. */
  milliseconds: number;
  millisecondsPerPage: number;
  /** Choosing a paper only counts. */
  countMilliseconds: number;
  /** The same number of pages with one circle and one word each, by pdfkit alone: the floor under any sheet. */
  referenceMilliseconds: number;
  pdfBytes: number;
}

function loadFonts(): FontBytes {
  const { resolve } = createRequire(import.meta.url);
  const file = (name: string) => new Uint8Array(readFileSync(resolve(`dejavu-fonts-ttf/ttf/${name}`)));
  return { regular: file("DejaVuSans.ttf"), bold: file("DejaVuSans-Bold.ttf") };
}

/** How long the whole pack of one side takes (PDF, and SVG and DXF of each tile), against a bare pdfkit. */
export async function benchSheets(plan: Plan, paper = "A4", runs = 5): Promise<SheetsBench> {
  const fonts = loadFonts();
  const times: number[] = [];
  let pdfBytes = 0;
  for (let run = 0; run <= runs; run++) {
    const start = performance.now();
    const files = await makeSheets(plan, { fonts, paper, sides: ["back"] });
    times.push(performance.now() - start);
    pdfBytes = files.find((file) => file.path === "sheets/templates-back.pdf")?.bytes.length ?? 0;
  }
  const milliseconds = median(times.slice(1));
  const countStart = performance.now();
  const pages = countPages(plan, paperByName(paper));
  const countMilliseconds = performance.now() - countStart;
  const reference: number[] = [];
  for (let run = 0; run <= runs; run++) reference.push(await barePages(pages, fonts));
  return {
    paper,
    pages,
    milliseconds,
    millisecondsPerPage: milliseconds / Math.max(1, pages),
    countMilliseconds,
    referenceMilliseconds: median(reference.slice(1)),
    pdfBytes,
  };
}

async function barePages(pages: number, fonts: FontBytes): Promise<number> {
  const { default: Document } = await import("pdfkit");
  const start = performance.now();
  const document = new Document({ autoFirstPage: false, font: fonts.regular as unknown as string });
  document.resume();
  const ended = new Promise((resolve) => document.on("end", resolve));
  for (let page = 1; page <= pages; page++) {
    document.addPage({ size: "A4", margin: 0 });
    document.circle(100, 100, 2).stroke();
    document.text(String(page), 100, 100, { lineBreak: false });
  }
  document.end();
  await ended;
  return performance.now() - start;
}

function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
}
