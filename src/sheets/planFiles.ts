import type { Planned } from "../plan.ts";
import { sheetContext } from "./context.ts";
import { toDxf } from "../drawing/dxf.ts";
import {
  collected,
  isWanted,
  streamSheets,
  type FileStream,
  type OutFile,
  type SheetOptions,
} from "./files.ts";
import { drawPlan, holesOnce } from "./overview.ts";
import { planJson } from "./planJson.ts";
import { toSvg } from "../drawing/svg.ts";
import { holesCsv, lostCsv } from "./tables.ts";
import { readTypeface } from "../drawing/typeface.ts";

/** Everything that `velarium plan` writes (DEVELOPERS.md, "What a plan writes"): tables, plan.json, the whole ceiling, and the sheets. */
export async function planFiles(plan: Planned, options: SheetOptions): Promise<OutFile[]> {
  return collected(await streamPlan(plan, options));
}

/** As `planFiles`: what is about the whole ceiling now, tile by tile what follows, as it is asked for. */
export async function streamPlan(plan: Planned, options: SheetOptions): Promise<FileStream> {
  const written = wholeCeiling(plan, options);
  const sheets = await streamSheets(plan, options);
  return (async function* () {
    // nobody holds a file that was handed on
    for (let file = written.shift(); file; file = written.shift()) yield file;
    yield* sheets;
  })();
}

/** The tables and the drawing of the whole ceiling. */
function wholeCeiling(plan: Planned, options: SheetOptions): OutFile[] {
  const context = sheetContext(plan, readTypeface(options.fonts), options.engineOf);
  const utf8 = new TextEncoder();
  const drawn = once(() => drawPlan(context, options.figures));
  const tables: [path: string, write: () => string][] = [
    ["holes.csv", () => holesCsv(plan, options.engineOf)],
    ["lost.csv", () => lostCsv(plan)],
    ["plan.json", () => `${JSON.stringify(planJson(plan, options.engineOf), null, 2)}\n`],
    ["plan.svg", () => toSvg(drawn())],
    ["plan.dxf", () => toDxf(holesOnce(drawn()))],
  ];
  return tables
    .filter(([path]) => isWanted(options, path))
    .map(([path, write]): OutFile => ({ path, bytes: utf8.encode(write()) }));
}

function once<T>(make: () => T): () => T {
  let made: { value: T } | null = null;
  return () => (made ??= { value: make() }).value;
}
