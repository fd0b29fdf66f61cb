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
  type TileHoles,
} from "../../../../sheets/context.ts";
import type { Drawing } from "../../../../drawing/drawing.ts";
import { drawNotes } from "../../../../sheets/notes.ts";
import { drawOverview } from "../../../../sheets/overview.ts";
import type { Page } from "../../../../sheets/pages.ts";
import { countPages } from "../../../../sheets/pages.ts";
import { type Paper, paperByName, PAPERS } from "../../../../sheets/papers.ts";
import { printerScale } from "../../../../drawing/pdf.ts";
import { drawTemplate, pagesOf } from "../../../../sheets/template.ts";
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
  const scale = printerScale(job.sheets.printer);
  const parts = tilesWithHoles(context.plan);
  const laid = job.sheets.sides.map((side) =>
    parts.map((part) => ({ part, side, pages: pagesOf(part, side, paper, scale) })),
  );
  const templates = laid.flatMap((tiles) => {
    const all = tiles.reduce((sum, { pages }) => sum + pages.length, 0);
    let nth = 0;
    return tiles.flatMap(({ part, side, pages }) =>
      pages.map((page, i) =>
        templatePage(context, part, side, pages, page, i, `${paper.name}, sheet ${++nth} of ${all}`),
      ),
    );
  });
  return [...whole, ...notes, ...templates];
}

function templatePage(
  context: SheetContext,
  part: TileHoles,
  side: Side,
  pages: Page[],
  page: Page,
  index: number,
  inPack: string,
): PackPage {
  const words = pages.length > 1 ? `sheet ${index + 1} of ${pages.length}` : "";
  return {
    entry: entry(`Tile ${part.tile.name}`, part.tile.name, side, words, page.points.length, page.sheet),
    draw: () => drawTemplate(context, part, side, pages, index, inPack),
  };
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
    papers: PAPERS.map((paper) => ({ name: paper.name, pages: countPages(plan, paper) })),
    tiles: tilesWithHoles(plan).map(({ tile, holes }) => ({
      name: tile.name,
      holes: holes.length,
      pages: pages.filter((p) => p.entry.tile === tile.name && p.entry.side === side).length,
      marks: holes.map((h) => `${h.numberInTile} ${h.tileXMm} ${h.tileYMm} ${strungWords(h)}`).join(";"),
    })),
    pages: pages.map((page) => page.entry),
  };
}
