import { BAR_MM, BAR_TOLERANCE_MM, barWords, drawBar } from "./bars.ts";
import { GREY, WEIGHT, rectangle, text, type Drawing, type Item } from "../drawing/drawing.ts";
import type { Paper } from "./papers.ts";
import { openPdf, pageScale, printerScale, UNSCALED } from "../drawing/pdf.ts";
import type { FontBytes, Typeface } from "../drawing/typeface.ts";
import { wrapped } from "../drawing/words.ts";

const LAYER = "TEXT";
/** A roll gives as much as the bars and words need. */
const ROLL_LENGTH_MM = 280;
const MOST_TEXT_MM = 190;

export interface PrinterTest {
  paper: Paper;
  /** As measured so far. */
  printer: { name: string; barXMm: number; barYMm: number };
  /** False: as the printer prints by itself, to be measured. True: corrected, to see that it helped. */
  corrected: boolean;
}

/** The test page is printed upright. */
const scaleOf = (printer: PrinterTest["printer"], corrected: boolean) =>
  corrected ? pageScale(printerScale(printer), false) : UNSCALED;

/** One page with a lying and a standing bar of 150 mm, and what to do with it. */
export function drawPrinterTest(
  { paper, printer, corrected }: PrinterTest,
  typeface: Typeface,
  clean: (words: string) => string,
): Drawing {
  const scale = scaleOf(printer, corrected);
  const widthMm = paper.widthMm / scale.x;
  const heightMm = (paper.heightMm ?? ROLL_LENGTH_MM) / scale.y;
  const left = Math.max(paper.marginMm.sides, paper.marginMm.ends) + 8;
  const width = Math.min(widthMm - 2 * left, MOST_TEXT_MM);
  const top = heightMm - left;
  const name = clean(printer.name);
  const items: Item[] = [
    text(LAYER, [left, top - 5], corrected ? "Printer test, corrected" : "Printer test", 7, { bold: true }),
    text(LAYER, [left, top - 11], `${paper.name}${name === "" ? "" : `, ${name}`}`, 3.2, {
      grey: GREY.dark,
    }),
  ];
  steps(corrected).forEach((step, i, all) => {
    const before = all.slice(0, i).reduce((sum, s) => sum + lines(s).length + 0.4, 0);
    lines(step).forEach((words, k) =>
      items.push(text(LAYER, [left, top - 20 - (before + k) * 4.6], words, 3.2)),
    );
  });
  const foot = left + 2;
  items.push(
    ...drawBar([left + 4, foot], false),
    text(LAYER, [left + 4, foot - 5], `x, along the short side: ${barWords(BAR_MM)}`, 2.8, { bold: true }),
    ...drawBar([left + 14, foot + 16], true),
    text(LAYER, [left + 20, foot + 16 + BAR_MM / 2], `y, along the long side: ${barWords(BAR_MM)}`, 2.8, {
      bold: true,
    }),
    rectangle(LAYER, [left + 20, foot + 20], [17, 21], {
      stroke: { widthMm: WEIGHT.thin, grey: GREY.black },
    }),
    text(LAYER, [left + 28.5, foot + 23.5], "R", 21, { bold: true, align: "centre" }),
    text(LAYER, [left + 41, foot + 24], "reads as on the screen; a mirrored R is a mirrored print", 2.6, {
      grey: GREY.dark,
    }),
  );
  return { title: "Printer test", widthMm, heightMm, items, zeroMm: [0, 0] };

  function lines(step: string): string[] {
    return wrapped(step, width, 3.2, typeface);
  }
}

function steps(corrected: boolean): string[] {
  if (corrected) {
    return [
      "This page is stretched by what was measured on the plain test page.",
      `Print it at actual size (100 %). Both bars should now be ${BAR_MM} mm, within ${BAR_TOLERANCE_MM} mm.`,
      "If they are not, print the plain test page again, measure again, and type in those numbers; never these.",
    ];
  }
  return [
    "Print this page at actual size (100 %), on the printer and the paper that the templates will be printed on.",
    "Measure each bar from the middle of its first long tick to the middle of its last, with a steel rule, to a tenth of a millimetre.",
    "Type both lengths in where you made this page. The next print is corrected for this printer, x and y each by itself.",
    "Paper grows and shrinks with damp air: print, check and use the templates on the same day.",
  ];
}

/** The test page as a PDF. */
export async function printerTestPdf(
  test: PrinterTest,
  typeface: Typeface,
  fonts: FontBytes,
  clean: (words: string) => string,
): Promise<Uint8Array> {
  const pdf = await openPdf({ title: "Printer test", fonts });
  pdf.addPage(drawPrinterTest(test, typeface, clean), undefined, scaleOf(test.printer, test.corrected));
  return pdf.bytes();
}
