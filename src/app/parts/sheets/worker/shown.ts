import { readTypeface, type FontBytes } from "../../../../drawing/typeface.ts";
import { asBuilt } from "../../../../asBuilt/built.ts";
import type { Job } from "../../../../job/schema.ts";
import { type EngineOf, sheetContext, tilesWithHoles } from "../../../../sheets/context.ts";
import { printingOf } from "../../../../sheets/laid.ts";
import { paperChoices } from "../../../../sheets/paperChoice.ts";
import { paperByName } from "../../../../sheets/papers.ts";
import { sheetPages, type SheetPage } from "../../../../sheets/sheetPages.ts";
import type { Planned } from "../../../../plan.ts";
import { punchedByTile } from "../../../../revision/tileFacts.ts";
import { catalogFor, choose, planned } from "../../../../work/stage.ts";
import { work } from "../../../worker/drawing.ts";
import { BROWSER } from "../../../worker/way.ts";
import type { Recorded, SheetsSummary } from "./api.ts";

/** Before tiles are shared out to engines. */
const NOT_SHARED_OUT = { strands: [], tails: [] };

/** The sheets of one job: worked out once, drawn page by page when somebody looks. */
export interface Shown {
  plan: Planned;
  fonts: FontBytes;
  pages: SheetPage[];
}

/**
 * The sheets before tiles are shared out to engines: enough to count and list their pages. Throws JobFaults and
 * CannotDo as `upTo` does, JobFaults for an unknown paper.
 */
export async function layOut(job: Job, record: Recorded): Promise<Shown> {
  paperByName(job.sheets.paper);
  const plan = planned(await work.upTo(choose(job), "holes"));
  return shownOf(record ? asBuilt(plan, NOT_SHARED_OUT, record).plan : plan, () => "");
}

/** The sheets as they are printed: with the engine of each hole. */
export async function withEngines(job: Job, record: Recorded): Promise<Shown> {
  const [made, { engineOf }, { builtOf }] = await Promise.all([
    work.upTo(choose(job), "bundles"),
    import("../../../../bundles/bundles.ts"),
    import("../../../../work/asBuilt.ts"),
  ]);
  const { plan, bundles } = builtOf(made, record);
  return shownOf(plan, engineOf(bundles));
}

async function shownOf(plan: Planned, engineOf: EngineOf): Promise<Shown> {
  const [{ figures }, fonts] = await Promise.all([
    catalogFor(BROWSER, choose(plan.job)),
    BROWSER.fonts(plan.job),
  ]);
  const context = sheetContext(plan, readTypeface(fonts), engineOf);
  return { plan, fonts, pages: sheetPages(context, printingOf(plan.job), figures) };
}

export function summaryOf({ plan, pages }: Shown): SheetsSummary {
  const side = plan.job.sheets.sides[0];
  const punched = punchedByTile(plan);
  return {
    holes: plan.pattern.holes.length,
    papers: paperChoices(plan).map(({ paper, sheets, listed, areaM2, hours, best }) => ({
      name: paper.name,
      pages: sheets,
      listed,
      areaM2,
      hours,
      best,
    })),
    tiles: tilesWithHoles(plan).map(({ tile: { name }, holes }) => ({
      name,
      holes: holes.length,
      pages: pages.filter((page) => page.tile === name && page.side === side).length,
      punched: punched.get(name)!,
    })),
    pages: pages.map(({ draw: _, scale: __, bookmark: ___, ...entry }) => entry),
  };
}
