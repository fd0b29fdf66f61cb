import type { Side } from "../../ceiling/flip.ts";
import { unknownKeys } from "../../job/documentSchema.ts";
import type { Job } from "../../job/schema.ts";
import { planJob, type Plan } from "../../plan.ts";
import {
  type EngineOf,
  sheetContext,
  tilesWithHoles,
  type SheetContext,
  type TileHoles,
} from "../../sheets/context.ts";
import type { Drawing } from "../../drawing/drawing.ts";
import { drawNotes } from "../../sheets/notes.ts";
import { drawOverview } from "../../sheets/overview.ts";
import type { Page } from "../../sheets/pages.ts";
import { countPages } from "../../sheets/pages.ts";
import { type Paper, paperByName, PAPERS } from "../../sheets/papers.ts";
import { printerScale } from "../../drawing/pdf.ts";
import { drawTemplate, pagesOf } from "../../sheets/template.ts";
import { type FontBytes, readTypeface } from "../../drawing/typeface.ts";
import type { Catalog } from "../../sky/types.ts";
import type { PackSummary, PageEntry } from "./sheetsApi.ts";

/** One job as it will be printed: worked out once, drawn page by page when somebody looks. */
export interface Pack {
  plan: Plan;
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
 * CannotDo as `planJob` does, JobFaults for an unknown paper.
 */
export function layOut(job: Job, catalog: Catalog, fonts: FontBytes): Pack {
  const paper = paperByName(job.sheets.paper);
  const plan = planJob(job, catalog);
  plan.warnings.unshift(...unknownKeys(job).map(unknownKeyWarning));
  return packOf(plan, catalog, paper, fonts, () => "");
}

/** The pack as it is printed: with the engine of each hole, where the job names engines. */
export async function withEngines(pack: Pack): Promise<Pack> {
  if (pack.plan.job.bundles.engines.length === 0) return pack;
  const { planWithEngines } = await import("./sheetsEngines.ts");
  const { plan, engineOf } = await planWithEngines(pack.plan, pack.catalog);
  return packOf(plan, pack.catalog, pack.paper, pack.fonts, engineOf);
}

function packOf(plan: Plan, catalog: Catalog, paper: Paper, fonts: FontBytes, engineOf: EngineOf): Pack {
  const context = sheetContext(plan, readTypeface(fonts), engineOf);
  return { plan, catalog, paper, fonts, context, pages: pagesOfPack(context, paper, catalog) };
}

const unknownKeyWarning = (path: string): Plan["warnings"][number] => ({
  code: "unknown-key",
  message: "This key is not known and changes nothing; it is kept. Is it misspelt?",
  path,
});

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
      marks: holes.map((h) => `${h.numberInTile} ${h.tileXMm} ${h.tileYMm} ${h.diameterMm}`).join(";"),
    })),
    pages: pages.map((page) => page.entry),
  };
}
