import type { Planned } from "../plan.ts";
import { tilesWithHoles } from "./context.ts";
import { layTile, printingOf } from "./laid.ts";
import { PAPERS, printerOf, type Paper } from "./papers.ts";

/** What one side of all templates takes on a paper. */
export interface PaperChoice {
  paper: Paper;
  sheets: number;
  /** Holes that are measured from the coordinate list. */
  listed: number;
  areaM2: number;
  /** Person-hours to lay the templates: checking each tile square, placing each sheet, measuring listed holes. */
  hours: number;
  /** The quickest of those that the same kind of printer takes. */
  best: boolean;
}

/** Every paper with what it takes for this job, in the order of the list; one of each kind of printer is best. */
export function paperChoices(plan: Planned): PaperChoice[] {
  const { rates } = plan.job.takeoff;
  const parts = tilesWithHoles(plan);
  const choices = PAPERS.map((paper): PaperChoice => {
    const printing = { ...printingOf(plan.job), paper };
    const laid = parts.map((part) => layTile(part, "back", printing));
    const pages = laid.flatMap((tile) => tile.pages);
    const listed = laid.reduce((sum, tile) => sum + tile.listed.length, 0);
    const areaMm2 = pages.reduce((sum, { sheet }) => sum + sheet.widthMm * sheet.heightMm, 0);
    const minutes =
      parts.length * rates.templateMinPerTile +
      pages.length * rates.templateMinPerSheet +
      listed * rates.listedMinPerHole;
    return { paper, sheets: pages.length, listed, areaM2: areaMm2 / 1e6, hours: minutes / 60, best: false };
  });
  for (const kind of ["desktop", "plotter"] as const) {
    const own = choices.filter(({ paper }) => printerOf(paper) === kind);
    const [quickest] = [...own].sort((a, b) => a.hours - b.hours || a.areaM2 - b.areaM2);
    if (quickest) quickest.best = true;
  }
  return choices;
}
