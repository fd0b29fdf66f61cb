import type PDFDocument from "pdfkit";
import type { PointMm } from "../geometry/types.ts";
import type { CircleItem, Drawing, ImageItem, Ink, Item, PathItem, Stroke, TextItem } from "./drawing.ts";
import { escapeXml } from "./svg.ts";
import { parseFonts, type FontBytes } from "./typeface.ts";

const POINTS_PER_MM = 72 / 25.4;
/** The same job gives the same bytes, so no clock: every file says this. */
const FIXED_DATE = new Date(Date.UTC(2000, 0, 1));

/**
 * What a print is stretched by, along the paper's short side (across a roll) and its long side (along it): a
 * printer errs along its own feed, whichever way round the page stands on the paper.
 */
export interface PrinterScale {
  short: number;
  long: number;
}
export const TRUE_SCALE: PrinterScale = { short: 1, long: 1 };

/** The next print's stretch from the printed length of the bars of 150 mm on an upright test page. */
export function printerScale({ barXMm, barYMm }: { barXMm: number; barYMm: number }): PrinterScale {
  return { short: 150 / barXMm, long: 150 / barYMm };
}

/** The same as the page has it. */
export interface PageScale {
  x: number;
  y: number;
}
export const UNSCALED: PageScale = { x: 1, y: 1 };

/** A turned page lies with its width along the paper's long side. */
export const pageScale = ({ short, long }: PrinterScale, turned: boolean): PageScale =>
  turned ? { x: long, y: short } : { x: short, y: long };

export interface PdfOptions {
  title: string;
  fonts: FontBytes;
}

/** Collects pages and gives the file's bytes. Vectors are exact to a millionth of a point. */
export interface PdfFile {
  /** A bookmark of that name leads to the page, if given. Drawing and page are stretched by `scale`. */
  addPage(drawing: Drawing, bookmark?: string, scale?: PageScale): void;
  bytes(): Promise<Uint8Array>;
}

/** Opens a PDF: embedded font subsets, "print at actual size" asked of the viewer, no dates of the day. */
export async function openPdf(options: PdfOptions): Promise<PdfFile> {
  const { default: Document } = await import("pdfkit");
  const document = new Document({
    // No default font: in a browser pdfkit has none.
    font: null as unknown as string,
    autoFirstPage: false,
    displayTitle: true,
    pdfVersion: "1.7",
    info: { Title: options.title, Producer: "Velarium", Creator: "Velarium", CreationDate: FIXED_DATE },
  });
  askForActualSize(document);
  escapeMetadata(document);
  const fonts = parseFonts(options.fonts);
  for (const name of ["bold", "regular"] as const) {
    document.registerFont(name, fonts[name] as unknown as ArrayBuffer);
    rememberWords(document.font(name));
  }
  const chunks: Uint8Array[] = [];
  document.on("data", (chunk: Uint8Array) => chunks.push(chunk));
  const ended = new Promise<void>((resolve, reject) => {
    document.on("end", resolve);
    document.on("error", reject);
  });
  return {
    addPage(drawing, bookmark, scale = UNSCALED) {
      const stretchX = POINTS_PER_MM * scale.x;
      const stretchY = POINTS_PER_MM * scale.y;
      const size: [number, number] = [drawing.widthMm * stretchX, drawing.heightMm * stretchY];
      document.addPage({ size, margin: 0 });
      if (bookmark) document.outline.addItem(bookmark);
      // The one seam from millimetres, y up, to points. pdfkit counts y down, so it is turned back here.
      document.transform(stretchX, 0, 0, stretchY, 0, 0);
      const painter = new Painter(document, drawing.heightMm);
      for (const item of drawing.items) painter.paint(item);
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

/** pdfkit puts the title into the XML of the metadata as it stands. */
function escapeMetadata(document: typeof PDFDocument.prototype): void {
  const inside = document as unknown as { info: { Title: string }; endMetadata(): void };
  const end = inside.endMetadata.bind(inside);
  inside.endMetadata = () => {
    inside.info.Title = escapeXml(inside.info.Title);
    end();
  };
}

type Canvas = typeof PDFDocument.prototype;

/** What pdfkit asks of an embedded font for each piece of text. */
interface EmbeddedFont {
  encode(words: string, features?: unknown): unknown;
  widthOfString(words: string, size: number, features?: unknown): number;
}

/**
 * Hundreds of pages say the same words, and pdfkit lays them out three times on each: once to measure, once to
 * measure again, once to write. Here the font at hand lays a text out once for the whole file.
 */
function rememberWords(canvas: Canvas): void {
  const font = (canvas as unknown as { _font: EmbeddedFont })._font;
  const encode = font.encode.bind(font);
  const widthOfString = font.widthOfString.bind(font);
  const codes = new Map<string, unknown>();
  const ems = new Map<string, number>();
  font.encode = (words) => codes.get(words) ?? kept(codes, words, encode(words));
  font.widthOfString = (words, size) => (ems.get(words) ?? kept(ems, words, widthOfString(words, 1))) * size;
}

function kept<V>(map: Map<string, V>, key: string, value: V): V {
  map.set(key, value);
  return value;
}

/** Paints items on the page at hand; says each pen and grey once, not with every line. */
class Painter {
  private line = "";
  private fill = "";
  private font = "";
  private readonly canvas: Canvas;
  private readonly heightMm: number;

  constructor(canvas: Canvas, heightMm: number) {
    this.canvas = canvas;
    this.heightMm = heightMm;
  }

  paint(item: Item): void {
    if (item.kind === "path") this.path(item);
    else if (item.kind === "circle") this.circle(item);
    else if (item.kind === "image") this.image(item);
    else this.words(item);
  }

  private path(item: PathItem): void {
    for (const ring of item.rings) {
      ring.forEach(([x, y]: PointMm, i) => {
        if (i === 0) this.canvas.moveTo(x, this.heightMm - y);
        else this.canvas.lineTo(x, this.heightMm - y);
      });
      if (item.closed) this.canvas.closePath();
    }
    this.finish(item);
  }

  private circle(item: CircleItem): void {
    this.canvas.circle(item.centre[0], this.heightMm - item.centre[1], item.radiusMm);
    this.finish(item);
  }

  private image(item: ImageItem): void {
    const bytes = item.bytes.slice().buffer;
    this.canvas.image(bytes, item.at[0], this.heightMm - item.at[1] - item.heightMm, {
      width: item.widthMm,
      height: item.heightMm,
    });
  }

  private finish({ stroke, fillGrey, fillInk }: { stroke?: Stroke; fillGrey?: number; fillInk?: Ink }): void {
    const fill = fillInk ?? (fillGrey === undefined ? undefined : grey(fillGrey));
    if (stroke) this.useStroke(stroke);
    if (fill !== undefined) this.useFill(fill);
    if (stroke && fill !== undefined) this.canvas.fillAndStroke("even-odd");
    else if (stroke) this.canvas.stroke();
    else this.canvas.fill("even-odd");
  }

  private useStroke({ widthMm, grey: level, ink, dashMm }: Stroke): void {
    const colour = ink ?? grey(level);
    const key = `${widthMm} ${colour} ${dashMm?.join(" ")}`;
    if (key === this.line) return;
    this.line = key;
    this.canvas.lineWidth(widthMm).strokeColor(colour);
    if (dashMm) this.canvas.dash(dashMm[0]!, { space: dashMm[1] ?? dashMm[0]! });
    else this.canvas.undash();
  }

  private useFill(colour: string): void {
    if (colour === this.fill) return;
    this.fill = colour;
    this.canvas.fillColor(colour);
  }

  private words(item: TextItem): void {
    if (item.text === "") return;
    const { canvas } = this;
    const name = item.bold ? "bold" : "regular";
    if (name !== this.font) canvas.font(name);
    this.font = name;
    canvas.fontSize(item.sizeMm);
    this.useFill(item.ink ?? grey(item.grey));
    const share = { left: 0, centre: 0.5, right: 1 }[item.align];
    const shift = share === 0 ? 0 : canvas.widthOfString(item.text) * share;
    const [x, y] = [item.at[0], this.heightMm - item.at[1]];
    // "alphabetic" puts the baseline at y; width and count would be worked out for underlines, which there are none of.
    const look = { lineBreak: false, baseline: "alphabetic", textWidth: 0, wordCount: 1 } as const;
    if (item.turnDeg === 0) {
      canvas.text(item.text, x - shift, y, look);
      return;
    }
    canvas.save();
    canvas.rotate(-item.turnDeg, { origin: [x, y] });
    canvas.text(item.text, x - shift, y, look);
    canvas.restore();
  }
}

const grey = (level: number): string => {
  const byte = Math.round(level * 255)
    .toString(16)
    .padStart(2, "0");
  return `#${byte}${byte}${byte}`;
};

function joined(chunks: Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
  let at = 0;
  for (const chunk of chunks) {
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole;
}
