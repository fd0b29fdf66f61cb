import type PDFDocument from "pdfkit";
import type { PointMm } from "../geometry/types.ts";
import type { CircleItem, Drawing, ImageItem, Ink, Item, PathItem, Stroke, TextItem } from "./drawing.ts";
import { escapeXml } from "./svg.ts";
import { isPlain, runsOf } from "./runs.ts";
import { parseFonts, type FontBytes, type Fonts, type Weight } from "./typeface.ts";

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
  /** To be opened in ten years: PDF/A-2b (ISO 19005-2). In Node alone: pdfkit reads the colour profile off the disk. */
  forKeeping?: boolean;
}

/** Collects pages and gives the file's bytes. Vectors are exact to a millionth of a point. */
export interface PdfFile {
  /** A bookmark of that name leads to the page, if given. Drawing and page are stretched by `scale`. */
  addPage(drawing: Drawing, bookmark?: string, scale?: PageScale): void;
  bytes(pause?: Pause): Promise<Uint8Array>;
}

/** Awaited in the midst of what takes long in one go, so that a wish to stop comes in; throws where there is one. */
export type Pause = () => Promise<void>;

/** Opens a PDF: embedded font subsets, "print at actual size" asked of the viewer, no dates of the day. */
export async function openPdf(options: PdfOptions): Promise<PdfFile> {
  const { default: Document } = await import("pdfkit");
  const document = new Document({
    // No default font: in a browser pdfkit has none.
    font: null as unknown as string,
    autoFirstPage: false,
    displayTitle: true,
    lang: "en",
    tagged: true,
    pdfVersion: "1.7",
    ...(options.forKeeping && { subset: "PDF/A-2b" as const }),
    info: { Title: options.title, Producer: "Velarium", Creator: "Velarium", CreationDate: FIXED_DATE },
  });
  askForActualSize(document);
  escapeMetadata(document);
  const fonts = parseFonts(options.fonts);
  const laid = {} as Record<Weight, LaidWords>;
  for (const weight of ["bold", "regular"] as const) {
    document.registerFont(weight, fonts[weight] as unknown as ArrayBuffer);
    laid[weight] = layWords(document.font(weight));
  }
  fonts.further.forEach((font, i) => document.registerFont(String(i), font as unknown as ArrayBuffer));
  const content = collectContent(document);
  const written = new Blocks();
  document.on("data", (chunk: Uint8Array) => written.add(chunk));
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
      // a page is one section for whoever has it read out, its words in the order in which they were drawn
      const section = document.struct("Sect", bookmark ? { title: bookmark } : {});
      document.addStructure(section);
      const words = document.struct("P", {}, () => {
        const painter = new Painter(document, content.write, laid, fonts, drawing.heightMm);
        for (const item of drawing.items) painter.paint(item);
      });
      section.add(words);
      section.end();
      content.flush();
    },
    async bytes(pause) {
      if (pause) await endFirst(document, pause);
      document.end();
      await ended;
      await pause?.();
      return written.joined();
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

/** The end of a hall's file takes half a second: what pdfkit does then for bookmarks and for having it read out is done before. */
async function endFirst(document: typeof PDFDocument.prototype, pause: Pause): Promise<void> {
  const inside = document as unknown as Record<"flushPages" | "endOutline" | "endMarkings", () => void>;
  for (const step of ["flushPages", "endOutline", "endMarkings"] as const) {
    inside[step]();
    inside[step] = () => undefined;
    await pause();
  }
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

/** What pdfkit knows of an embedded font. */
interface EmbeddedFont {
  id: string;
  ref(): unknown;
  encode(words: string): [codes: string[], positions: { xAdvance: number; advanceWidth: number; xOffset: number; yOffset: number }[]]; // prettier-ignore
  widthOfString(words: string, size: number): number;
}

/** Text laid out once for the whole file: hundreds of pages say the same words. */
interface LaidWords {
  font: EmbeddedFont;
  /** The operand of TJ; null where a glyph stands off the line, which pdfkit knows how to write. */
  shown(words: string): string | null;
  widthOf(words: string, size: number): number;
}

function layWords(canvas: Canvas): LaidWords {
  const font = (canvas as unknown as { _font: EmbeddedFont })._font;
  const shown = new Map<string, string | null>();
  const ems = new Map<string, number>();
  return {
    font,
    shown: (words) => {
      const known = shown.get(words);
      return known === undefined ? kept(shown, words, operandOf(font.encode(words))) : known;
    },
    widthOf: (words, size) => (ems.get(words) ?? kept(ems, words, font.widthOfString(words, 1))) * size,
  };
}

/** Glyph codes with the kerning between them: PDF 32000-1, 9.4.3. */
function operandOf([codes, positions]: ReturnType<EmbeddedFont["encode"]>): string | null {
  if (positions.some(({ xOffset, yOffset }) => xOffset !== 0 || yOffset !== 0)) return null;
  let out = "[<";
  positions.forEach(({ xAdvance, advanceWidth }, i) => {
    out += codes[i]!;
    if (xAdvance !== advanceWidth && i < positions.length - 1) out += `> ${n(advanceWidth - xAdvance)} <`;
  });
  return `${out}>]`;
}

const utf8 = new TextEncoder();

/** pdfkit makes bytes of every operator by itself; a page's operators become bytes together, in one go. */
function collectContent(document: Canvas): { write: (operators: string) => void; flush: () => void } {
  const inside = document as unknown as {
    page: { write(content: Uint8Array): void };
    addContent(text: string): Canvas;
  };
  let lines: string[] = [];
  const write = (operators: string): void => void lines.push(operators);
  inside.addContent = (operators) => (write(operators), document);
  return {
    write,
    flush: () => {
      // all of it ASCII: words are written as the codes of their glyphs
      inside.page.write(utf8.encode(`${lines.join("\n")}\n`));
      lines = [];
    },
  };
}

function kept<V>(map: Map<string, V>, key: string, value: V): V {
  map.set(key, value);
  return value;
}

/** A number as PDF takes it, to a millionth. */
const n = (value: number): number => Math.round(value * 1e6) / 1e6;
/** How far the handles of four curves stand from the quarters of a circle of radius 1. */
const QUARTER = (4 / 3) * (Math.SQRT2 - 1);

/** Paints items on the page at hand; says each pen and grey once, not with every line. */
class Painter {
  private line = "";
  private fill = "";
  private readonly canvas: Canvas;
  private readonly write: (operators: string) => void;
  private readonly laid: Record<Weight, LaidWords>;
  private readonly fonts: Fonts;
  private readonly heightMm: number;

  constructor(
    canvas: Canvas,
    write: (operators: string) => void,
    laid: Record<Weight, LaidWords>,
    fonts: Fonts,
    heightMm: number,
  ) {
    this.canvas = canvas;
    this.write = write;
    this.laid = laid;
    this.fonts = fonts;
    this.heightMm = heightMm;
  }

  paint(item: Item): void {
    if (item.kind === "path") this.path(item);
    else if (item.kind === "circle") this.circle(item);
    else if (item.kind === "image") this.image(item);
    else this.words(item);
  }

  private path(item: PathItem): void {
    let operators = "";
    for (const ring of item.rings) {
      ring.forEach(([x, y]: PointMm, i) => {
        operators += `${n(x)} ${n(this.heightMm - y)} ${i === 0 ? "m" : "l"}\n`;
      });
      if (item.closed) operators += "h\n";
    }
    this.write(operators.slice(0, -1));
    this.finish(item);
  }

  private circle(item: CircleItem): void {
    const [x, y] = [item.centre[0], this.heightMm - item.centre[1]];
    const [left, right] = [n(x - item.radiusMm), n(x + item.radiusMm)];
    const [top, foot] = [n(y - item.radiusMm), n(y + item.radiusMm)];
    const handle = item.radiusMm * QUARTER;
    const [x1, x2, y1, y2] = [n(x - handle), n(x + handle), n(y - handle), n(y + handle)];
    const [cx, cy] = [n(x), n(y)];
    this.write(
      `${left} ${cy} m\n${left} ${y1} ${x1} ${top} ${cx} ${top} c\n${x2} ${top} ${right} ${y1} ${right} ${cy} c\n` +
        `${right} ${y2} ${x2} ${foot} ${cx} ${foot} c\n${x1} ${foot} ${left} ${y2} ${left} ${cy} c\nh`,
    );
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
    const weight = item.bold ? "bold" : "regular";
    const { font, shown, widthOf } = this.laid[weight];
    this.useFill(item.ink ?? grey(item.grey));
    if (!isPlain(item.text)) return this.runs(item, weight);
    const share = { left: 0, centre: 0.5, right: 1 }[item.align];
    const shift = share === 0 ? 0 : widthOf(item.text, item.sizeMm) * share;
    const [x, y] = [item.at[0], this.heightMm - item.at[1]];
    const operand = shown(item.text);
    if (operand === null) {
      // "alphabetic" puts the baseline at y
      canvas.font(weight).fontSize(item.sizeMm).save();
      canvas.rotate(-item.turnDeg, { origin: [x, y] });
      canvas.text(item.text, x - shift, y, { lineBreak: false, baseline: "alphabetic" });
      canvas.restore();
      return;
    }
    const { fonts } = canvas.page as unknown as { fonts: Record<string, unknown> };
    fonts[font.id] ??= font.ref();
    // y counts down on the page and up in a text: turned about its place, then turned over
    const turn = (-item.turnDeg * Math.PI) / 180;
    const [sin, cos] = item.turnDeg === 0 ? [0, 1] : [Math.sin(turn), Math.cos(turn)];
    const place = [cos, sin, sin, -cos, x - shift * cos, y - shift * sin].map(n).join(" ");
    this.write(`BT\n/${font.id} ${n(item.sizeMm)} Tf\n${place} Tm\n${operand} TJ\nET`);
  }

  /** Text in several fonts, or from the right: run by run, each as its script joins its letters. */
  private runs(item: TextItem, weight: Weight): void {
    const { canvas } = this;
    const runs = runsOf(item.text, weight, this.fonts).map((run) => {
      const { advanceWidth } = run.font.layout(run.text, []);
      return { ...run, widthMm: (advanceWidth / run.font.unitsPerEm) * item.sizeMm };
    });
    const width = runs.reduce((sum, { widthMm }) => sum + widthMm, 0);
    const [x, y] = [item.at[0], this.heightMm - item.at[1]];
    canvas.save();
    canvas.rotate(-item.turnDeg, { origin: [x, y] });
    let at = x - width * { left: 0, centre: 0.5, right: 1 }[item.align];
    for (const { key, text, widthMm } of runs) {
      // given features, pdfkit lays a text out whole, not word by word
      canvas.font(String(key)).fontSize(item.sizeMm);
      canvas.text(text, at, y, { lineBreak: false, baseline: "alphabetic", features: [] });
      at += widthMm;
    }
    canvas.restore();
  }
}

const grey = (level: number): string => {
  const byte = Math.round(level * 255)
    .toString(16)
    .padStart(2, "0");
  return `#${byte}${byte}${byte}`;
};

const BLOCK_BYTES = 1 << 20;

/**
 * Bytes that come in crumbs. They are copied: what the deflate of Node gives lies in 16 KB of its own, however
 * little it is, and a hall has 15,000 pages.
 */
class Blocks {
  private readonly full: Uint8Array[] = [];
  private block = new Uint8Array(BLOCK_BYTES);
  private used = 0;

  add(chunk: Uint8Array): void {
    for (let at = 0; at < chunk.length;) {
      if (this.used === BLOCK_BYTES) {
        this.full.push(this.block);
        this.block = new Uint8Array(BLOCK_BYTES);
        this.used = 0;
      }
      const part = chunk.subarray(at, at + BLOCK_BYTES - this.used);
      this.block.set(part, this.used);
      this.used += part.length;
      at += part.length;
    }
  }

  joined(): Uint8Array {
    const whole = new Uint8Array(this.full.length * BLOCK_BYTES + this.used);
    this.full.forEach((block, i) => whole.set(block, i * BLOCK_BYTES));
    whole.set(this.block.subarray(0, this.used), this.full.length * BLOCK_BYTES);
    return whole;
  }
}
