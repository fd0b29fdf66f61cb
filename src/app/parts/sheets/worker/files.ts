import { zipSync, type Zippable } from "fflate";
import { CannotDo } from "../../../../job/faults.ts";
import { toDxf } from "../../../../drawing/dxf.ts";
import { makeSheets, type OutFile, type SheetOptions } from "../../../../sheets/files.ts";
import { drawPlan } from "../../../../sheets/overview.ts";
import { planFiles } from "../../../../sheets/planFiles.ts";
import { printerTestPdf } from "../../../../sheets/printerTest.ts";
import { toSvg } from "../../../../drawing/svg.ts";
import { holesCsv, lostCsv } from "../../../../sheets/tables.ts";
import { isReduced, printingOf, sideFile } from "../../../../sheets/laid.ts";
import { tilesWithHoles } from "../../../../sheets/context.ts";
import { drawWholeTile } from "../../../../sheets/template.ts";
import { safeFileName } from "../../../../drawing/words.ts";
import type { MadeFile } from "../../../worker/api.ts";
import type { SheetsOrder } from "./api.ts";
import type { Pack } from "./pack.ts";

const TYPES: Record<string, string> = {
  pdf: "application/pdf",
  zip: "application/zip",
  csv: "text/csv",
  svg: "image/svg+xml",
  dxf: "image/vnd.dxf",
};
/** The same job gives the same archive: every file in it bears this day. */
const FIXED_DAY = new Date(2000, 0, 1);

export interface MakingOptions {
  onProgress: (done: number, total: number) => Promise<void>;
  signal: AbortSignal;
}

/** Makes one download. Throws the signal's reason when stopped, CannotDo where there is nothing to print. */
export async function makeFile(pack: Pack, order: SheetsOrder, options: MakingOptions): Promise<MadeFile> {
  const warnings: string[] = [];
  const { plan, fonts, catalog, context } = pack;
  const base = safeFileName(plan.job.title).toLowerCase();
  const sheets: SheetOptions = {
    fonts,
    figures: catalog.figures,
    engineOf: context.engineOf,
    onProgress: options.onProgress,
    signal: options.signal,
    onWarning: (warning) => warnings.push(warning.message),
  };
  const made = (name: string, content: Uint8Array | string): MadeFile => ({
    name: `${base}-${name}`,
    type: TYPES[name.split(".").at(-1) ?? ""] ?? "application/octet-stream",
    bytes: typeof content === "string" ? new TextEncoder().encode(content) : content,
    warnings,
  });
  switch (order.what) {
    case "everything":
      return made("all.zip", zipped(await planFiles(plan, sheets)));
    case "templates": {
      const { side, tiles } = order;
      const files = await makeSheets(plan, { ...sheets, sides: [side], ...(tiles && { tiles }) });
      const printing = printingOf(plan.job);
      const kind = isReduced(side, printing) ? "check" : "templates";
      const name = `${kind}-${side}${tiles ? `-${safeFileName(tiles.join("-"))}` : ""}.pdf`;
      return made(name, fileIn(files, sideFile(side, printing)));
    }
    case "coordinates":
      return made("coordinates.pdf", fileIn(await makeSheets(plan, sheets), "sheets/coordinates.pdf"));
    case "overview": {
      const files = await makeSheets(plan, { ...sheets, tiles: [] });
      return made("overview.pdf", fileIn(files, "sheets/overview.pdf"));
    }
    case "tile-drawing": {
      const part = tilesWithHoles(plan).find(({ tile }) => tile.name === order.tile);
      if (!part) throw new CannotDo(`Tile ${order.tile} has no holes.`, "Choose another tile.");
      const drawing = drawWholeTile(context, part, order.side);
      const name = `${safeFileName(order.tile)}-${order.side}.${order.format}`;
      return made(name, order.format === "svg" ? toSvg(drawing) : toDxf(drawing));
    }
    case "plan-drawing": {
      const drawing = drawPlan(context, catalog.figures);
      return made(`plan.${order.format}`, order.format === "svg" ? toSvg(drawing) : toDxf(drawing));
    }
    case "table":
      return made(
        `${order.name}.csv`,
        order.name === "holes" ? holesCsv(plan, context.engineOf) : lostCsv(plan),
      );
    case "printer-test": {
      const { printer } = plan.job.sheets;
      const test = { paper: pack.paper, printer, corrected: order.corrected };
      const bytes = await printerTestPdf(test, context.typeface, fonts, context.clean);
      return made(order.corrected ? "printer-test-corrected.pdf" : "printer-test.pdf", bytes);
    }
  }
}

function fileIn(files: readonly OutFile[], path: string): Uint8Array {
  const file = files.find((f) => f.path === path);
  if (!file) throw new CannotDo("There is no hole to print.", "Look at the pattern: no tile has a strand.");
  return file.bytes;
}

function zipped(files: readonly OutFile[]): Uint8Array {
  const tree: Zippable = {};
  for (const { path, bytes } of files) tree[path] = bytes;
  return zipSync(tree, { mtime: FIXED_DAY, level: 6 });
}
