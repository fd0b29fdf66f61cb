import type { Planned } from "../plan.ts";
import { sheetContext } from "./context.ts";
import { toDxf } from "../drawing/dxf.ts";
import { makeSheets, type OutFile, type SheetOptions } from "./files.ts";
import { drawPlan, holesOnce } from "./overview.ts";
import { planJson } from "./planJson.ts";
import { toSvg } from "../drawing/svg.ts";
import { holesCsv, lostCsv } from "./tables.ts";
import { readTypeface } from "../drawing/typeface.ts";

/** Everything that `velarium plan` writes (DEVELOPERS.md, "What a plan writes"): tables, plan.json, the whole ceiling, and the sheets. */
export async function planFiles(plan: Planned, options: SheetOptions): Promise<OutFile[]> {
  const context = sheetContext(plan, readTypeface(options.fonts), options.engineOf);
  const whole = drawPlan(context, options.figures);
  const utf8 = new TextEncoder();
  const file = (path: string, words: string): OutFile => ({ path, bytes: utf8.encode(words) });
  return [
    file("holes.csv", holesCsv(plan, options.engineOf)),
    file("lost.csv", lostCsv(plan)),
    file("plan.json", `${JSON.stringify(planJson(plan, options.engineOf), null, 2)}\n`),
    file("plan.svg", toSvg(whole)),
    file("plan.dxf", toDxf(holesOnce(whole))),
    ...(await makeSheets(plan, options)),
  ];
}
