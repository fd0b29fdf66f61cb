import type { Side } from "../../../../ceiling/flip.ts";
import type { Job } from "../../../../job/schema.ts";
import { strungWords } from "../../../../pattern/packing.ts";
import type { Planned } from "../../../../plan.ts";
import { catalogFor, choose, planned, said } from "../../../../work/stage.ts";
import {
  type EngineOf,
  sheetContext,
  tilesWithHoles,
  type SheetContext,
} from "../../../../sheets/context.ts";
import type { Drawing } from "../../../../drawing/drawing.ts";
import { drawNotes } from "../../../../sheets/notes.ts";
import { drawOverview } from "../../../../sheets/overview.ts";
import { coordinatePages } from "../../../../sheets/coordinates.ts";
import { checkPaper, isReduced, layTile, printingOf, type LaidTile } from "../../../../sheets/laid.ts";
import { paperChoices } from "../../../../sheets/paperChoice.ts";
import { type Paper, paperByName } from "../../../../sheets/papers.ts";
import { drawTemplate } from "../../../../sheets/template.ts";
import { type FontBytes, readTypeface } from "../../../../drawing/typeface.ts";
import type { Catalog } from "../../../../sky/types.ts";
import type { PackSummary, PageEntry } from "./api.ts";
import { BROWSER, work } from "../../../worker/way.ts";

/** One job as it will be printed: worked out once, drawn page by page when somebody looks. */
export interface Pack {
  plan: Planned;
  catalog: Catalog;
  paper: Paper;
  fonts: FontBytes;
  context: SheetContext;
  pages: PackPage[];
}

interface PackPage {
  entry: PageEntry;
  draw: () => Drawing;
}

/**
 * The pack before tiles are shared out to engines: enough to count and list its pages. Throws JobFaults and
 * CannotDo as `upTo` does, JobFaults for an unknown paper.
 */
export async function layOut(job: Job): Promise<Pack> {
  paperByName(job.sheets.paper);
  return packOf(planned(await work.upTo(choose(job), "holes")), () => "");
}

/** The pack as it is printed: with the engine of each hole. */
export async function withEngines(job: Job): Promise<Pack> {
  const [made, { engineOf }] = await Promise.all([
    work.upTo(choose(job), "bundles"),
    import("../../../../bundles/bundles.ts"),
  ]);
  return packOf({ ...planned(made), warnings: said(made.warnings) }, engineOf(made.bundles.bundles));
}

async function packOf(plan: Planned, engineOf: EngineOf): Promise<Pack> {
  const [catalog, fonts] = await Promise.all([catalogFor(BROWSER, choose(plan.job)), BROWSER.fonts()]);
  const context = sheetContext(plan, readTypeface(fonts), engineOf);
  const paper = paperByName(plan.job.sheets.paper);
  return { plan, catalog, paper, fonts, context, pages: pagesOfPack(context, paper, catalog) };
}

/** The pages in the order in which they are printed: overview, notes, templates by side and tile. */
function pagesOfPack(context: SheetContext, paper: Paper, catalog: Catalog): PackPage[] {
  const { job } = context.plan;
  const whole = (["back", "face"] as const).map((side): PackPage => {
    const draw = () => drawOverview(context, side, paper, catalog.figures);
    return { entry: entry("Whole ceiling", "", side, "", context.plan.pattern.holes.length, draw()), draw };
  });
  const notes = drawNotes(context, paper).map((drawing, i, all): PackPage => {
    const part = all.length > 1 ? `sheet ${i + 1} of ${all.length}` : "";
    return { entry: entry("Notes and cautions", "", null, part, 0, drawing), draw: () => drawing };
  });
  const printing = printingOf(job);
  const parts = tilesWithHoles(context.plan);
  const laid = job.sheets.sides.map((side) => parts.map((part) => layTile(part, side, printing)));
  const templates = laid.flatMap((tiles, at) => {
    const side = job.sheets.sides[at]!;
    const { name } = isReduced(side, printing) ? checkPaper(printing) : paper;
    const all = tiles.reduce((sum, { pages }) => sum + pages.length, 0);
    let nth = 0;
    return tiles.flatMap((tile) =>
      tile.pages.map((_, i) => templatePage(context, tile, side, i, `${name}, sheet ${++nth} of ${all}`)),
    );
  });
  return [...whole, ...notes, ...templates, ...listPages(context, laid)];
}

function templatePage(
  context: SheetContext,
  tile: LaidTile,
  side: Side,
  index: number,
  inPack: string,
): PackPage {
  const { part, pages } = tile;
  const page = pages[index]!;
  const words = pages.length > 1 ? `sheet ${index + 1} of ${pages.length}` : "";
  return {
    entry: entry(`Tile ${part.tile.name}`, part.tile.name, side, words, page.points.length, page.sheet),
    draw: () => drawTemplate(context, tile, side, index, inPack),
  };
}

/** Holes that no sheet carries. */
function listPages(context: SheetContext, laid: readonly LaidTile[][]): PackPage[] {
  const tiles = laid.find((side) => side.some(({ listed }) => listed.length > 0));
  if (!tiles) return [];
  const pages = coordinatePages(context, tiles);
  return pages.map(({ drawing }, i): PackPage => {
    const part = pages.length > 1 ? `sheet ${i + 1} of ${pages.length}` : "";
    return { entry: entry("Coordinate list", "", null, part, 0, drawing), draw: () => drawing };
  });
}

function entry(
  title: string,
  tile: string,
  side: Side | null,
  part: string,
  holes: number,
  { widthMm, heightMm }: { widthMm: number; heightMm: number },
): PageEntry {
  return { title, tile, side, part, holes, widthMm, heightMm };
}

export function summaryOf({ plan, pages }: Pack): PackSummary {
  const side = plan.job.sheets.sides[0];
  return {
    holes: plan.pattern.holes.length,
    papers: paperChoices(plan).map(({ paper, sheets, listed, hours, best }) => ({
      name: paper.name,
      pages: sheets,
      listed,
      hours,
      best,
    })),
    tiles: tilesWithHoles(plan).map(({ tile, holes }) => ({
      name: tile.name,
      holes: holes.length,
      pages: pages.filter((p) => p.entry.tile === tile.name && p.entry.side === side).length,
      marks: holes.map((h) => `${h.numberInTile} ${h.tileXMm} ${h.tileYMm} ${strungWords(h)}`).join(";"),
    })),
    pages: pages.map((page) => page.entry),
  };
}
