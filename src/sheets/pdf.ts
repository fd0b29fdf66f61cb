import type PDFDocument from "pdfkit";
import type { PointMm } from "../geometry/types.ts";
import type { CircleItem, Drawing, Item, PathItem, Stroke, TextItem } from "./drawing.ts";
import type { FontBytes } from "./typeface.ts";

const POINTS_PER_MM = 72 / 25.4;
/** The same job gives the same bytes, so no clock: every file says this. */
const FIXED_DATE = new Date(Date.UTC(2000, 0, 1));

/** Makes drawings come out right on a printer whose bars of 150 mm came out as barXMm and barYMm. */
export interface PrinterScale {
  x: number;
  y: number;
}
export const TRUE_SCALE: PrinterScale = { x: 1, y: 1 };

/** The next print's stretch from the printed length of its bars of 150 mm. */
export function printerScale({ barXMm, barYMm }: { barXMm: number; barYMm: number }): PrinterScale {
  return { x: 150 / barXMm, y: 150 / barYMm };
}

export interface PdfOptions {
  title: string;
  fonts: FontBytes;
  /** Everything on the page is stretched by this; `widthMm` and `heightMm` of a drawing are before stretching. */
  scale?: PrinterScale;
}

/** Collects pages and gives the file's bytes. Vectors are exact to a millionth of a point. */
export interface PdfFile {
  /** A bookmark of that name leads to the page, if given. */
  addPage(drawing: Drawing, bookmark?: string): void;
  bytes(): Promise<Uint8Array>;
}

/** Opens a PDF: embedded font subsets, "print at actual size" asked of the viewer, no dates of the day. */
export async function openPdf(options: PdfOptions): Promise<PdfFile> {
  const { default: Document } = await import("pdfkit");
  const document = new Document({
    autoFirstPage: false,
    displayTitle: true,
    pdfVersion: "1.7",
    info: { Title: options.title, Producer: "Velarium", Creator: "Velarium", CreationDate: FIXED_DATE },
  });
  askForActualSize(document);
  document.registerFont("regular", options.fonts.regular as unknown as ArrayBuffer);
  document.registerFont("bold", options.fonts.bold as unknown as ArrayBuffer);
  const chunks: Uint8Array[] = [];
  document.on("data", (chunk: Uint8Array) => chunks.push(chunk));
  const ended = new Promise<void>((resolve, reject) => {
    document.on("end", resolve);
    document.on("error", reject);
  });
  const scale = options.scale ?? TRUE_SCALE;
  return {
    addPage(drawing, bookmark) {
      const stretchX = POINTS_PER_MM * scale.x;
      const stretchY = POINTS_PER_MM * scale.y;
      const size: [number, number] = [drawing.widthMm * stretchX, drawing.heightMm * stretchY];
      document.addPage({ size, margin: 0 });
      if (bookmark) document.outline.addItem(bookmark);
      // The one seam from millimetres, y up, to points. pdfkit counts y down, so it is turned back here.
      document.transform(stretchX, 0, 0, stretchY, 0, 0);
      for (const item of drawing.items) paint(document, item, drawing.heightMm);
    },
    async bytes() {
      document.end();
      await ended;
      return joined(chunks);
    },
  };
}

/** ViewerPreferences has no door in pdfkit besides `displayTitle`, which makes the dictionary. */
function askForActualSize(document: typeof PDFDocument.prototype): void {
  const root = (
    document as unknown as { _root: { data: { ViewerPreferences: { data: Record<string, unknown> } } } }
  )._root;
  root.data.ViewerPreferences.data.PrintScaling = "None";
}

type Canvas = typeof PDFDocument.prototype;

function paint(canvas: Canvas, item: Item, heightMm: number): void {
  if (item.kind === "path") paintPath(canvas, item, heightMm);
  else if (item.kind === "circle") paintCircle(canvas, item, heightMm);
  else paintText(canvas, item, heightMm);
}

function paintPath(canvas: Canvas, item: PathItem, heightMm: number): void {
  for (const ring of item.rings) {
    ring.forEach(([x, y]: PointMm, i) => {
      if (i === 0) canvas.moveTo(x, heightMm - y);
      else canvas.lineTo(x, heightMm - y);
    });
    if (item.closed) canvas.closePath();
  }
  finish(canvas, item);
}

function paintCircle(canvas: Canvas, item: CircleItem, heightMm: number): void {
  canvas.circle(item.centre[0], heightMm - item.centre[1], item.radiusMm);
  finish(canvas, item);
}

const grey = (level: number): string => {
  const byte = Math.round(level * 255)
    .toString(16)
    .padStart(2, "0");
  return `#${byte}${byte}${byte}`;
};

function finish(canvas: Canvas, { stroke, fillGrey }: { stroke?: Stroke; fillGrey?: number }): void {
  if (stroke) {
    canvas.lineWidth(stroke.widthMm).strokeColor(grey(stroke.grey));
    // pdfkit's `undash` writes the empty pattern.
    if (stroke.dashMm) canvas.dash(stroke.dashMm[0]!, { space: stroke.dashMm[1] ?? stroke.dashMm[0]! });
    else canvas.undash();
  }
  if (fillGrey !== undefined) canvas.fillColor(grey(fillGrey));
  if (stroke && fillGrey !== undefined) canvas.fillAndStroke("even-odd");
  else if (stroke) canvas.stroke();
  else canvas.fill("even-odd");
}

function paintText(canvas: Canvas, item: TextItem, heightMm: number): void {
  if (item.text === "") return;
  canvas
    .font(item.bold ? "bold" : "regular")
    .fontSize(item.sizeMm)
    .fillColor(grey(item.grey));
  const shift =
    item.align === "left" ? 0 : canvas.widthOfString(item.text) * (item.align === "centre" ? 0.5 : 1);
  const [x, y] = [item.at[0], heightMm - item.at[1]];
  // "alphabetic" puts the baseline at y.
  const look = { lineBreak: false, baseline: "alphabetic" } as const;
  if (item.turnDeg === 0) {
    canvas.text(item.text, x - shift, y, look);
    return;
  }
  canvas.save();
  canvas.rotate(-item.turnDeg, { origin: [x, y] });
  canvas.text(item.text, x - shift, y, look);
  canvas.restore();
}

function joined(chunks: Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
  let at = 0;
  for (const chunk of chunks) {
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole;
}
