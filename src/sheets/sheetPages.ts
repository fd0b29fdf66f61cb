import { SIDE_WORDS, type Side } from "../ceiling/flip.ts";
import type { Drawing } from "../drawing/drawing.ts";
import type { PageScale } from "../drawing/pdf.ts";
import type { Figure } from "../sky/types.ts";
import { tilesWithHoles, type SheetContext } from "./context.ts";
import { coordinatePages } from "./coordinates.ts";
import { checkPaper, isReduced, layTile, type LaidTile, type Printing } from "./laid.ts";
import { drawNotes } from "./notes.ts";
import { drawOverview } from "./overview.ts";
import type { Paper } from "./papers.ts";
import { drawTemplate } from "./template.ts";

/** One page of the sheets: what its file and whoever shows it must agree on. */
export interface SheetPage {
  /** What is on it: "Tile C4", "Whole ceiling", "Notes and cautions", "Coordinate list". */
  title: string;
  /** Where the file's list of contents leads to it. */
  bookmark?: string | undefined;
  /** The tile's name, or "" for pages of the whole ceiling. */
  tile: string;
  side: Side | null;
  /** "sheet 2 of 4", or "". */
  part: string;
  holes: number;
  widthMm: number;
  heightMm: number;
  /** What the printer's own error is corrected by. */
  scale?: PageScale;
  draw(): Drawing;
}

/** A tile on one side with its pages. */
export interface TilePages {
  tile: LaidTile;
  pages: SheetPage[];
}

/** The whole ceiling from above and from below, then notes and cautions. */
export function overviewPages(
  context: SheetContext,
  paper: Paper,
  figures: readonly Figure[] = [],
): SheetPage[] {
  const whole = (["back", "face"] as const).map((side): SheetPage => {
    const drawing = drawOverview(context, side, paper, figures);
    const holes = context.plan.pattern.holes.length;
    return { ...drawn("Whole ceiling", drawing, SIDE_WORDS[side].whole), side, holes };
  });
  const notes = drawNotes(context, paper).map((drawing, i, all) => ({
    ...drawn("Notes and cautions", drawing, i === 0 ? "Notes and cautions" : undefined),
    part: sheetOf(i, all.length),
  }));
  return [...whole, ...notes];
}

/** The pages of every tile on one side, tile by tile. `tiles`: only these, by name. */
export function templatePages(
  context: SheetContext,
  side: Side,
  printing: Printing,
  tiles?: readonly string[],
): TilePages[] {
  const laid = tilesWithHoles(context.plan)
    .filter(({ tile }) => tiles?.includes(tile.name) ?? true)
    .map((part) => layTile(part, side, printing));
  const sheets = laid.reduce((sum, { pages }) => sum + pages.length, 0);
  const { name: paper } = isReduced(side, printing) ? checkPaper(printing) : printing.paper;
  let sheet = 0;
  return laid.map((tile) => ({
    tile,
    pages: tile.pages.map((page, i, { length }): SheetPage => {
      const inPack = `${paper}, sheet ${++sheet} of ${sheets}`;
      const { name } = tile.part.tile;
      return {
        title: `Tile ${name}`,
        bookmark: i === 0 ? name : undefined,
        tile: name,
        side,
        part: sheetOf(i, length),
        holes: page.points.length,
        widthMm: page.sheet.widthMm,
        heightMm: page.sheet.heightMm,
        scale: page.scale,
        draw: () => drawTemplate(context, tile, side, i, inPack),
      };
    }),
  }));
}

/** Holes that no sheet carries, told by the first side that lists some. */
export function listPages(context: SheetContext, sides: readonly TilePages[][]): SheetPage[] {
  const tiles = sides.find((side) => side.some(({ tile }) => tile.listed.length > 0));
  if (!tiles) return [];
  const pages = coordinatePages(
    context,
    tiles.map(({ tile }) => tile),
  );
  return pages.map(({ drawing, bookmark }, i) => ({
    ...drawn("Coordinate list", drawing, bookmark || undefined),
    part: sheetOf(i, pages.length),
  }));
}

/** All sheets in the order in which they are printed: overview, notes, templates by side and tile, the list. */
export function sheetPages(
  context: SheetContext,
  printing: Printing,
  figures: readonly Figure[],
): SheetPage[] {
  const sides = context.plan.job.sheets.sides.map((side) => templatePages(context, side, printing));
  return [
    ...overviewPages(context, printing.paper, figures),
    ...sides.flat().flatMap(({ pages }) => pages),
    ...listPages(context, sides),
  ];
}

/** A page of the whole ceiling. */
const drawn = (title: string, drawing: Drawing, bookmark: string | undefined): SheetPage => ({
  title,
  bookmark,
  tile: "",
  side: null,
  part: "",
  holes: 0,
  widthMm: drawing.widthMm,
  heightMm: drawing.heightMm,
  draw: () => drawing,
});

const sheetOf = (i: number, all: number): string => (all > 1 ? `sheet ${i + 1} of ${all}` : "");
