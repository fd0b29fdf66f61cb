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
  onWarning?: (warning: Warning) => void,
): Promise<Uint8Array> {
  const context = sheetContext(plan, readTypeface(fonts));
  const drawing = drawSkySheet(context, figures, paper);
  tellMissing(context.missing, onWarning);
  return onePage(drawing, fonts);
}

function tellMissing(missing: Set<string>, onWarning?: (warning: Warning) => void): void {
  const warning = missingWarning({ missing });
  if (warning) onWarning?.(warning);
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
  onWarning?: (warning: Warning) => void,
): Promise<{ pdf: Uint8Array; svg: string }> {
  const typeface = readTypeface(fonts);
  const missing = new Set<string>();
  const drawn = drawBoard(nights, words, format, typeface, pictureAspect);
  const items = drawn.items.map((item) =>
    item.kind === "text" ? { ...item, text: printable(item.text, typeface, missing) } : item,
  );
  const drawing = { ...drawn, items };
  tellMissing(missing, onWarning);
  return { pdf: await onePage(drawing, fonts), svg: toSvg(outlined(drawing, fonts)) };
}
