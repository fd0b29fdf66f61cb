import type { PointMm } from "../geometry/types.ts";
import type { Planned } from "../plan.ts";
import { printerScale } from "../drawing/pdf.ts";
import { tilesWithHoles } from "./context.ts";
import { layPages } from "./pages.ts";
import { PAPERS, type Paper } from "./papers.ts";

/** What one side of all templates takes on a paper. */
export interface PaperChoice {
  paper: Paper;
  sheets: number;
  areaM2: number;
  /** Person-hours to lay the templates: checking each tile square, and placing each sheet. */
  hours: number;
  /** The quickest of those that the same kind of printer takes. */
  best: boolean;
}

/** Desktop printers take sheets up to this wide (A3, Tabloid); what is wider wants a plotter. */
const DESKTOP_MM = 300;

const kindOf = ({ heightMm, widthMm }: Paper): "desktop" | "plotter" =>
  heightMm !== null && widthMm <= DESKTOP_MM ? "desktop" : "plotter";

/** Every paper with what it takes for this job, in the order of the list; one of each kind of printer is best. */
export function paperChoices(plan: Planned): PaperChoice[] {
  const { rates } = plan.job.takeoff;
  const scale = printerScale(plan.job.sheets.printer);
  const parts = tilesWithHoles(plan).map(({ tile: { box }, holes }) => ({
    points: holes.map((hole): PointMm => [hole.tileXMm, hole.tileYMm]),
    sizeMm: [(box.maxX - box.minX) / 1000, (box.maxY - box.minY) / 1000] as PointMm,
  }));
  const choices = PAPERS.map((paper): PaperChoice => {
    const pages = parts.flatMap(({ points, sizeMm }) => layPages(points, sizeMm, paper, scale));
    const areaMm2 = pages.reduce((sum, { sheet }) => sum + sheet.widthMm * sheet.heightMm, 0);
    const minutes = parts.length * rates.templateMinPerTile + pages.length * rates.templateMinPerSheet;
    return { paper, sheets: pages.length, areaM2: areaMm2 / 1e6, hours: minutes / 60, best: false };
  });
  for (const kind of ["desktop", "plotter"] as const) {
    const own = choices.filter(({ paper }) => kindOf(paper) === kind);
    const [quickest] = [...own].sort((a, b) => a.hours - b.hours || a.areaM2 - b.areaM2);
    if (quickest) quickest.best = true;
  }
  return choices;
}
