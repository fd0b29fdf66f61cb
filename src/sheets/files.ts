import { SIDE_WORDS, type Side } from "../ceiling/flip.ts";
import type { Warning } from "../job/faults.ts";
import type { Planned } from "../plan.ts";
import type { Figure } from "../sky/types.ts";
import { sheetContext, type EngineOf, type SheetContext } from "./context.ts";
import { toDxf } from "../drawing/dxf.ts";
import { openPdf } from "../drawing/pdf.ts";
import { toSvg } from "../drawing/svg.ts";
import { printingOf, sideFile, type PrintingWish } from "./laid.ts";
import { listPages, overviewPages, templatePages, type SheetPage, type TilePages } from "./sheetPages.ts";
import { drawWholeTile } from "./template.ts";
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
  /** This file alone, by its path. Default: all. */
  only?: string;
  /** Which engine lights a hole, once bundles has decided. */
  engineOf?: EngineOf;
  /** For the figures' faint lines on the overview. */
  figures?: readonly Figure[];
  /** Called between tiles; awaited, so that a caller may let other work in. */
  onProgress?: (done: number, total: number) => void | Promise<void>;
  /** Stops between tiles with the signal's own reason. */
  signal?: AbortSignal;
  /** Awaited where a large file is ended, so that the signal comes in. */
  pause?: () => Promise<void>;
  /** PDFs to be opened in ten years. */
  forKeeping?: boolean;
  /** Told what the sheets could not show, e.g. characters that the font lacks. */
  onWarning?: (warning: Warning) => void;
}

const utf8 = new TextEncoder();
const keeping = ({ forKeeping }: SheetOptions) => (forKeeping ? { forKeeping } : {});

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
  const printing = printingOf(plan.job, options);
  const context = sheetContext(plan, readTypeface(options.fonts), options.engineOf);
  const packs = (options.sides ?? plan.job.sheets.sides).map((side) => ({
    side,
    tiles: templatePages(context, side, printing, options.tiles),
  }));
  const total = packs.reduce((sum, { tiles }) => sum + tiles.length, 0);
  const overview = await pdfOf(context, OVERVIEW, options, () =>
    overviewPages(context, printing.paper, options.figures),
  );
  let done = 0;
  const afterTile = async (): Promise<void> => {
    await options.onProgress?.(++done, total);
    options.signal?.throwIfAborted();
  };
  return (async function* () {
    yield* overview;
    for (const { side, tiles } of packs)
      yield* packOf(context, { side, tiles, path: sideFile(side, printing) }, options, afterTile);
    yield* await pdfOf(context, LIST, options, () =>
      listPages(
        context,
        packs.map(({ tiles }) => tiles),
      ),
    );
    const warning = missingWarning(context);
    if (warning) options.onWarning?.(warning);
  })();
}

const OVERVIEW = { path: "sheets/overview.pdf", title: "overview" };
const LIST = { path: "sheets/coordinates.pdf", title: "coordinate list" };

/** Whether a file is asked for. */
export const isWanted = ({ only }: { only?: string | undefined }, path: string): boolean =>
  only === undefined || only === path;

/** Pages as the one file of a list; none where there are none, or it is not asked for. */
async function pdfOf(
  context: SheetContext,
  { path, title }: typeof OVERVIEW,
  options: SheetOptions,
  draw: () => readonly SheetPage[],
): Promise<OutFile[]> {
  const pages = isWanted(options, path) ? draw() : [];
  if (pages.length === 0) return [];
  const pdf = await openPdf({
    title: `${context.clean(context.plan.job.title)}: ${title}`,
    fonts: options.fonts,
    ...keeping(options),
  });
  for (const page of pages) pdf.addPage(page.draw(), page.bookmark);
  return [{ path, bytes: await pdf.bytes() }];
}

async function* packOf(
  context: SheetContext,
  { side, tiles, path }: { side: Side; tiles: readonly TilePages[]; path: string },
  options: SheetOptions,
  afterTile: () => Promise<void>,
): FileStream {
  const { flag, read } = SIDE_WORDS[side];
  const title = `${context.clean(context.plan.job.title)}: ${flag}, ${read}`;
  const some = isWanted(options, path) && tiles.some(({ pages }) => pages.length > 0);
  const pdf = some ? await openPdf({ title, fonts: options.fonts, ...keeping(options) }) : null;
  for (const { tile, pages } of tiles) {
    if (pdf) for (const { draw, bookmark, scale } of pages) pdf.addPage(draw(), bookmark, scale);
    const name = `${safeFileName(tile.part.tile.name)}-${side}`;
    const files = [
      { path: `sheets/svg/${name}.svg`, write: toSvg },
      { path: `sheets/dxf/${name}.dxf`, write: toDxf },
    ].filter((file) => isWanted(options, file.path));
    const whole = files.length > 0 ? drawWholeTile(context, tile.part, side) : null;
    for (const file of files) yield { path: file.path, bytes: utf8.encode(file.write(whole!)) };
    await afterTile();
  }
  const pause = async (): Promise<void> => {
    await options.pause?.();
    options.signal?.throwIfAborted();
  };
  if (pdf) yield { path, bytes: await pdf.bytes(pause) };
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
