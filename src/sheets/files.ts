import { SIDE_WORDS, type Side } from "../ceiling/flip.ts";
import type { Warning } from "../job/faults.ts";
import type { Planned } from "../plan.ts";
import type { Figure } from "../sky/types.ts";
import { sheetContext, tilesWithHoles, type EngineOf, type SheetContext } from "./context.ts";
import { toDxf } from "../drawing/dxf.ts";
import { paperByName, type Paper } from "./papers.ts";
import { drawNotes } from "./notes.ts";
import { drawOverview } from "./overview.ts";
import { openPdf } from "../drawing/pdf.ts";
import { toSvg } from "../drawing/svg.ts";
import { coordinatePages } from "./coordinates.ts";
import {
  checkPaper,
  isReduced,
  layTile,
  printingOf,
  sideFile,
  type LaidTile,
  type Printing,
  type PrintingWish,
} from "./laid.ts";
import { drawTemplate, drawWholeTile } from "./template.ts";
import { readTypeface, type FontBytes } from "../drawing/typeface.ts";
import { codePointWords, safeFileName } from "../drawing/words.ts";

/** A file of the pack: its place in the folder, with `/`, and its bytes. */
export interface OutFile {
  path: string;
  bytes: Uint8Array;
}

export interface SheetOptions {
  fonts: FontBytes;
  /** Name of a paper. Default: the job's. */
  paper?: string;
  /** Default: the job's. */
  sides?: readonly Side[];
  /** FACE as one reduced sheet a tile, or at full size. Default: the job's. */
  face?: PrintingWish["face"];
  /** Sheets with three holes or fewer, and which whole tiles, only as lines of a list. Default: the job's. */
  listFew?: boolean;
  listed?: readonly string[];
  /** Only these tiles, by name. Default: every tile with holes. */
  tiles?: readonly string[];
  /** Which engine lights a hole, once bundles has decided. */
  engineOf?: EngineOf;
  /** For the figures' faint lines on the overview. */
  figures?: readonly Figure[];
  /** Called between tiles; awaited, so that a caller may let other work in. */
  onProgress?: (done: number, total: number) => void | Promise<void>;
  /** Stops between tiles with the signal's own reason. */
  signal?: AbortSignal;
  /** Told what the sheets could not show, e.g. characters that the font lacks. */
  onWarning?: (warning: Warning) => void;
}

const utf8 = new TextEncoder();

/**
 * The printed pack: `sheets/overview.pdf` (whole ceiling from both sides, cautions), `sheets/templates-back.pdf` (every tile at 1:1 on the chosen paper),
 * `sheets/check-face.pdf` (every tile reduced to one sheet; at full size `templates-face.pdf`), `sheets/coordinates.pdf` where holes are listed,
 * and for each tile and side `sheets/svg/C4-back.svg` and `sheets/dxf/C4-back.dxf`, one whole drawing in
 * true millimetres. The same plan and options give the same bytes; between Node and a browser the PDFs have
 * the same content, only packed by different deflate code. Throws JobFaults for an unknown paper.
 */
export async function makeSheets(plan: Planned, options: SheetOptions): Promise<OutFile[]> {
  return collected(await streamSheets(plan, options));
}

/** Files one after the other as they are drawn, so that a large ceiling need not be in memory whole. */
export type FileStream = AsyncGenerator<OutFile, void, void>;

export async function collected(stream: FileStream): Promise<OutFile[]> {
  const files: OutFile[] = [];
  for await (const file of stream) files.push(file);
  return files;
}

/** As `makeSheets`: what takes long in one go (the overview, counting pages) now; tile by tile, as it is asked for, the rest. */
export async function streamSheets(plan: Planned, options: SheetOptions): Promise<FileStream> {
  const paper = paperByName(options.paper ?? plan.job.sheets.paper);
  const sides = options.sides ?? plan.job.sheets.sides;
  const context = sheetContext(plan, readTypeface(options.fonts), options.engineOf);
  const parts = tilesWithHoles(plan).filter(({ tile }) => options.tiles?.includes(tile.name) ?? true);
  const printing = printingOf(plan.job, options);
  const packs = sides.map((side) => ({ side, laid: parts.map((part) => layTile(part, side, printing)) }));
  const total = parts.length * sides.length;
  const overview = await overviewOf(context, paper, options);
  let done = 0;
  const afterTile = async (): Promise<void> => {
    await options.onProgress?.(++done, total);
    options.signal?.throwIfAborted();
  };
  return (async function* () {
    yield overview;
    if (parts.length > 0)
      for (const pack of packs) yield* packOf(context, pack, printing, options, afterTile);
    const listed = packs.find(({ laid }) => laid.some((tile) => tile.listed.length > 0));
    if (listed) yield await listOf(context, listed.laid, options);
    const warning = missingWarning(context);
    if (warning) options.onWarning?.(warning);
  })();
}

/** The whole ceiling from above and from below, then the cautions. */
async function overviewOf(context: SheetContext, paper: Paper, options: SheetOptions): Promise<OutFile> {
  const pdf = await openPdf({
    title: `${context.clean(context.plan.job.title)}: overview`,
    fonts: options.fonts,
  });
  for (const side of ["back", "face"] as const)
    pdf.addPage(drawOverview(context, side, paper, options.figures), SIDE_WORDS[side].whole);
  drawNotes(context, paper).forEach((page, i) =>
    pdf.addPage(page, i === 0 ? "Notes and cautions" : undefined),
  );
  return { path: "sheets/overview.pdf", bytes: await pdf.bytes() };
}

async function* packOf(
  context: SheetContext,
  { side, laid }: { side: Side; laid: LaidTile[] },
  printing: Printing,
  { fonts }: SheetOptions,
  afterTile: () => Promise<void>,
): FileStream {
  const { job } = context.plan;
  const sheets = laid.reduce((sum, { pages }) => sum + pages.length, 0);
  const { flag, read } = SIDE_WORDS[side];
  const pdf = await openPdf({ title: `${context.clean(job.title)}: ${flag}, ${read}`, fonts });
  const paper = isReduced(side, printing) ? checkPaper(printing) : printing.paper;
  let sheet = 0;
  for (const tile of laid) {
    const { part, pages } = tile;
    pages.forEach((page, i) => {
      const inPack = `${paper.name}, sheet ${++sheet} of ${sheets}`;
      const drawing = drawTemplate(context, tile, side, i, inPack);
      pdf.addPage(drawing, i === 0 ? part.tile.name : undefined, page.scale);
    });
    const whole = drawWholeTile(context, part, side);
    const name = `${safeFileName(part.tile.name)}-${side}`;
    yield { path: `sheets/svg/${name}.svg`, bytes: utf8.encode(toSvg(whole)) };
    yield { path: `sheets/dxf/${name}.dxf`, bytes: utf8.encode(toDxf(whole)) };
    await afterTile();
  }
  if (sheets > 0) yield { path: sideFile(side, printing), bytes: await pdf.bytes() };
}

async function listOf(
  context: SheetContext,
  laid: readonly LaidTile[],
  { fonts }: SheetOptions,
): Promise<OutFile> {
  const pdf = await openPdf({ title: `${context.clean(context.plan.job.title)}: coordinate list`, fonts });
  for (const { drawing, bookmark } of coordinatePages(context, laid))
    pdf.addPage(drawing, bookmark || undefined);
  return { path: "sheets/coordinates.pdf", bytes: await pdf.bytes() };
}

/** What to say about characters that no font had, or null. */
export function missingWarning({ missing }: Pick<SheetContext, "missing">): Warning | null {
  if (missing.size === 0) return null;
  const list = [...missing].sort().map(codePointWords);
  const some = list.slice(0, 12).join(", ") + (list.length > 12 ? ", ..." : "");
  return {
    code: "characters-not-in-font",
    message: `The font lacks ${list.length} character${list.length > 1 ? "s" : ""}, printed as ${list.length > 1 ? "their code points" : "its code point"}: ${some}.`,
  };
}
