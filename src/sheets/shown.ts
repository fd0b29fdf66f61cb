import type { Planned } from "../plan.ts";
import type { Figure } from "../sky/types.ts";
import { drawBoard, type BoardFormat, type BoardNight, type BoardWords } from "./board.ts";
import { sheetContext } from "./context.ts";
import type { Drawing } from "../drawing/drawing.ts";
import { outlined } from "../drawing/outlined.ts";
import type { Paper } from "./papers.ts";
import { openPdf } from "../drawing/pdf.ts";
import { drawSkySheet } from "./skySheet.ts";
import { toSvg } from "../drawing/svg.ts";
import { printable } from "../drawing/words.ts";
import type { Warning } from "../job/faults.ts";
import { missingWarning } from "./files.ts";
import { readTypeface, type FontBytes } from "../drawing/typeface.ts";

async function pdfOf(title: string, pages: readonly Drawing[], fonts: FontBytes): Promise<Uint8Array> {
  const pdf = await openPdf({ title, fonts });
  for (const page of pages) pdf.addPage(page);
  return pdf.bytes();
}

/** The sky sheet of a plan as a one-page PDF. */
export async function makeSkySheet(
  plan: Planned,
  figures: readonly Figure[],
  paper: Paper,
  fonts: FontBytes,
  onWarning?: (warning: Warning) => void,
): Promise<Uint8Array> {
  const context = sheetContext(plan, readTypeface(fonts));
  const drawing = drawSkySheet(context, figures, paper);
  tellMissing(context.missing, onWarning);
  return pdfOf(drawing.title, [drawing], fonts);
}

function tellMissing(missing: Set<string>, onWarning?: (warning: Warning) => void): void {
  const warning = missingWarning({ missing });
  if (warning) onWarning?.(warning);
}

/**
 * A board as a PDF with a page for every night, and each page as SVG with its words as outlines, from which a shell
 * makes the PNG: the picture then looks alike on every machine.
 */
export async function makeBoard({
  nights,
  words,
  format,
  fonts,
  pictureAspect,
  onWarning,
}: {
  nights: readonly BoardNight[];
  words: BoardWords;
  format: BoardFormat;
  fonts: FontBytes;
  pictureAspect: number;
  onWarning?: (warning: Warning) => void;
}): Promise<{ pdf: Uint8Array; svgs: string[] }> {
  const typeface = readTypeface(fonts);
  const missing = new Set<string>();
  const pages = drawBoard(nights, words, format, typeface, pictureAspect).map((page) => ({
    ...page,
    items: page.items.map((item) =>
      item.kind === "text" ? { ...item, text: printable(item.text, typeface, missing) } : item,
    ),
  }));
  tellMissing(missing, onWarning);
  const title = `${words.title}: ${nights.length} nights, one ceiling`;
  return { pdf: await pdfOf(title, pages, fonts), svgs: pages.map((page) => toSvg(outlined(page, fonts))) };
}
