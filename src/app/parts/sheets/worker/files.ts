import { safeFileName } from "../../../../drawing/words.ts";
import { readTypeface } from "../../../../drawing/typeface.ts";
import type { Job } from "../../../../job/schema.ts";
import type { Entry } from "../../../../record/entry.ts";
import { sheetContext } from "../../../../sheets/context.ts";
import { collected, missingWarning } from "../../../../sheets/files.ts";
import { isReduced, printingOf, sideFile } from "../../../../sheets/laid.ts";
import { paperByName } from "../../../../sheets/papers.ts";
import { printerTestPdf } from "../../../../sheets/printerTest.ts";
import type { SheetsHow } from "../../../../work/prints.ts";
import { choose, planned, type Tools } from "../../../../work/stage.ts";
import type { Work } from "../../../../work/work.ts";
import type { MadeFile } from "../../../worker/api.ts";
import { madeFile, zipped } from "../../../worker/madeFile.ts";
import type { Stoppable } from "../../../worker/making.ts";
import type { SheetsOrder } from "./api.ts";

/** Makes one download. Throws the signal's reason when stopped, CannotDo where there is nothing to print. */
export async function makeSheetsFile(
  { work, fonts }: { work: Work; fonts: Tools["fonts"] },
  job: Job,
  order: SheetsOrder,
  stoppable: Stoppable & { record?: readonly Entry[] },
): Promise<MadeFile> {
  const warnings: string[] = [];
  const how: SheetsHow = { ...stoppable, onWarning: ({ message }) => warnings.push(message) };
  const chosen = choose(job);
  const plan = async (only?: string) =>
    collected(await work.print(chosen, "plan", { ...how, ...(only !== undefined && { only }) }));
  const sheets = async (part: SheetsHow) =>
    collected(await work.print(chosen, "sheets", { ...how, ...part }));
  const made = (name: string, files: Awaited<ReturnType<typeof plan>>) =>
    madeFile(job, name, files, warnings);
  switch (order.what) {
    case "everything":
      return made("all.zip", [zipped("all.zip", await plan())]);
    case "templates": {
      const { side, tiles } = order;
      const printing = printingOf(job);
      const kind = isReduced(side, printing) ? "check" : "templates";
      const name = `${kind}-${side}${tiles ? `-${safeFileName(tiles.join("-"))}` : ""}.pdf`;
      const only = sideFile(side, printing);
      return made(name, await sheets({ sides: [side], only, ...(tiles && { tiles }) }));
    }
    case "coordinates":
      return made("coordinates.pdf", await sheets({ only: "sheets/coordinates.pdf" }));
    case "overview":
      return made("overview.pdf", await sheets({ tiles: [], only: "sheets/overview.pdf" }));
    case "tile-drawing": {
      const { side, tile, format } = order;
      const name = `${safeFileName(tile)}-${side}.${format}`;
      return made(name, await sheets({ sides: [side], tiles: [tile], only: `sheets/${format}/${name}` }));
    }
    case "plan-drawing":
      return made(`plan.${order.format}`, await plan(`plan.${order.format}`));
    case "table":
      return made(`${order.name}.csv`, await plan(`${order.name}.csv`));
    case "printer-test": {
      const bytes = await fonts(job);
      const typeface = readTypeface(bytes);
      const context = sheetContext(planned(await work.upTo(chosen, "holes")), typeface);
      const { printer, paper } = job.sheets;
      const test = { paper: paperByName(paper), printer, corrected: order.corrected };
      const name = order.corrected ? "printer-test-corrected.pdf" : "printer-test.pdf";
      const page = await printerTestPdf(test, typeface, bytes, context.clean);
      const missing = missingWarning(context);
      if (missing) warnings.push(missing.message);
      return made(name, [{ path: name, bytes: page }]);
    }
  }
}
