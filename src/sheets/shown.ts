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
import { readTypeface, type FontBytes } from "../drawing/typeface.ts";

async function onePage(drawing: Drawing, fonts: FontBytes): Promise<Uint8Array> {
  const pdf = await openPdf({ title: drawing.title, fonts });
  pdf.addPage(drawing);
  return pdf.bytes();
}

/** The sky sheet of a plan as a one-page PDF. */
export async function makeSkySheet(
  plan: Planned,
  figures: readonly Figure[],
  paper: Paper,
  fonts: FontBytes,
): Promise<Uint8Array> {
  return onePage(drawSkySheet(sheetContext(plan, readTypeface(fonts)), figures, paper), fonts);
}

/**
 * A board as a one-page PDF, and as SVG with its words as outlines, from which a shell makes the PNG:
 * the picture then looks alike on every machine.
 */
export async function makeBoard(
  nights: readonly BoardNight[],
  words: BoardWords,
  format: BoardFormat,
  fonts: FontBytes,
  pictureAspect: number,
): Promise<{ pdf: Uint8Array; svg: string }> {
  const drawing = drawBoard(nights, words, format, readTypeface(fonts), pictureAspect);
  return { pdf: await onePage(drawing, fonts), svg: toSvg(outlined(drawing, fonts)) };
}
