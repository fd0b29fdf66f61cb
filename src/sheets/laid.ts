import type { Side } from "../ceiling/flip.ts";
import type { PointMm } from "../geometry/types.ts";
import type { Job } from "../job/schema.ts";
import type { Hole } from "../pattern/types.ts";
import type { Planned } from "../plan.ts";
import type { PaperFacts } from "../takeoff/types.ts";
import { printerScale, type PrinterScale } from "../drawing/pdf.ts";
import { tilesWithHoles, type TileHoles } from "./context.ts";
import { layPages, pieces, reducedPage, type Page } from "./pages.ts";
import { paperByName, printerOf, type Paper } from "./papers.ts";
import { pageAsRead, viewOf } from "./view.ts";
import { toMm } from "../geometry/um.ts";

/** How holes come on paper: of which size, what is reduced, what is only listed. */
export interface Printing {
  paper: Paper;
  scale: PrinterScale;
  /** FACE at full size, not as one reduced sheet a tile. */
  fullFace: boolean;
  /** Sheets with `FEW_HOLES` or fewer become lines of the coordinate list. */
  listFew: boolean;
  /** Tiles that have no sheet at all, only lines. */
  listed: ReadonlySet<string>;
}

/** Holes of a sheet that are measured as quickly as the sheet is placed. */
export const FEW_HOLES = 3;

/** What may be asked for in the place of the job's own. */
export interface PrintingWish {
  paper?: string;
  face?: Job["sheets"]["face"];
  listFew?: boolean;
  listed?: readonly string[];
}

/** As the job says, or as wished. Throws JobFaults for an unknown paper. */
export function printingOf({ sheets }: Job, wish: PrintingWish = {}): Printing {
  return {
    paper: paperByName(wish.paper ?? sheets.paper),
    scale: printerScale(sheets.printer),
    fullFace: (wish.face ?? sheets.face) === "full",
    listFew: wish.listFew ?? sheets.listed.few,
    listed: new Set(wish.listed ?? sheets.listed.tiles),
  };
}

/** A tile on paper: its pages, and its holes that no page carries. */
export interface LaidTile {
  part: TileHoles;
  pages: Page[];
  listed: Hole[];
}

const pointsOf = ({ holes }: TileHoles): PointMm[] => holes.map(({ tileXMm, tileYMm }) => [tileXMm, tileYMm]);

/** Whether a side is one reduced sheet a tile, to check by. */
export const isReduced = (side: Side, { fullFace }: Printing): boolean => side === "face" && !fullFace;

/** The file that holds a side's sheets. */
export const sideFile = (side: Side, printing: Printing): string =>
  isReduced(side, printing) ? "sheets/check-face.pdf" : `sheets/templates-${side}.pdf`;

/** A check sheet is held up beside the tile: where templates come from a plotter, it is a desktop printer's. */
export const checkPaper = ({ paper }: Printing): Paper =>
  printerOf(paper) === "desktop" ? paper : paperByName(paper.family === "ISO 216" ? "A4" : "Letter");

/** One tile on one side. Numbers and pieces are the same on both sides. */
export function layTile(part: TileHoles, side: Side, printing: Printing): LaidTile {
  const view = viewOf(part.tile, side);
  const points = pointsOf(part);
  const sizeMm: PointMm = [view.widthMm, view.heightMm];
  if (isReduced(side, printing))
    return { part, pages: [pageAsRead(reducedPage(points, sizeMm, checkPaper(printing)), view)], listed: [] };
  if (printing.listed.has(part.tile.name)) return { part, pages: [], listed: part.holes };
  const all = layPages(points, sizeMm, printing.paper, printing.scale);
  const few = all.filter((page) => isFew(page.points, printing));
  const listed = few.flatMap((page) => page.points).sort((i, j) => i - j);
  return {
    part,
    pages: all.filter((page) => !few.includes(page)).map((page) => pageAsRead(page, view)),
    listed: listed.map((i) => part.holes[i]!),
  };
}

const isFew = (points: readonly number[], { listFew }: Printing): boolean =>
  listFew && points.length <= FEW_HOLES;

/** How many full-size sheets one side takes, and how many holes are listed: cheap, nothing is drawn. */
export function countSheets(plan: Planned, printing: Printing): { sheets: number; listed: number } {
  const count = { sheets: 0, listed: 0 };
  for (const part of tilesWithHoles(plan)) {
    const { box } = part.tile;
    const sizeMm: PointMm = [toMm(box.maxX - box.minX), toMm(box.maxY - box.minY)];
    const laid = printing.listed.has(part.tile.name)
      ? []
      : pieces(pointsOf(part), sizeMm, printing.paper, printing.scale).filter((own) => !isFew(own, printing));
    count.sheets += laid.length;
    count.listed += part.holes.length - laid.reduce((sum, own) => sum + own.length, 0);
  }
  return count;
}

/** What printing the job takes, and what of it is placed on tiles. */
export function paperFacts(plan: Planned): PaperFacts {
  const printing = printingOf(plan.job);
  const papers = new Map<string, PaperFacts["papers"][number]>();
  const facts: PaperFacts = { placed: 0, listedHoles: 0, papers: [] };
  for (const part of tilesWithHoles(plan))
    for (const [nth, side] of [...plan.job.sheets.sides].sort().entries()) {
      const { pages, listed } = layTile(part, side, printing);
      const reduced = isReduced(side, printing);
      const paper = reduced ? checkPaper(printing) : printing.paper;
      const known = papers.get(paper.name) ?? { name: paper.name, sheets: 0, rollM: null };
      known.sheets += pages.length;
      if (paper.heightMm === null)
        known.rollM = pages.reduce(
          (sum, { sheet }) => sum + alongRollMm(sheet, paper) / 1000,
          known.rollM ?? 0,
        );
      papers.set(paper.name, known);
      if (reduced || nth > 0) continue;
      facts.placed += pages.length;
      facts.listedHoles += listed.length;
    }
  facts.papers = [...papers.values()];
  return facts;
}

/** A turned page lies with its width along the roll. */
const alongRollMm = ({ widthMm, heightMm }: Page["sheet"], paper: Paper): number =>
  Math.abs(widthMm - paper.widthMm) < 1 ? heightMm : widthMm;
