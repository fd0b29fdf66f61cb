import { engineOf } from "../../bundles/bundles.ts";
import type { Bundles } from "../../bundles/types.ts";
import type { Warning } from "../../job/faults.ts";
import type { Plan } from "../../plan.ts";
import { assumedFacts, makeTakeoff } from "../../takeoff/takeoff.ts";
import type { StrandFacts, Takeoff } from "../../takeoff/types.ts";
import { sheetContext, tilesWithHoles, type SheetContext } from "../context.ts";
import { missingWarning, type OutFile } from "../files.ts";
import { drawLabels, labelsCsv, labelSheetCount, labelsFor } from "../labelSheets.ts";
import { labelSheetByName } from "../labelStock.ts";
import { openPdf } from "../../drawing/pdf.ts";
import { toSvg } from "../../drawing/svg.ts";
import { readTypeface, type FontBytes } from "../../drawing/typeface.ts";
import type { Changes } from "./changes.ts";
import { clientPack } from "./client.ts";
import { drawCutPlan } from "./cutSheet.ts";
import type { PackPage } from "./document.ts";
import { quotePages } from "./quoteSheet.ts";
import { orderCsv, quoteCsv, strandsCsv, tailsCsv } from "./tables.ts";
import { vanPack } from "./van.ts";

export interface PackOptions {
  fonts: FontBytes;
  /** Since the revision printed last, if it was given. */
  changes?: Changes | null;
  /** This file alone, by name. Default: all. */
  only?: string;
  /** Called after each page of a PDF; awaited, so that a caller may let other work in. */
  onPage?: (done: number, total: number) => void | Promise<void>;
  /** Stops between pages with the signal's own reason. */
  signal?: AbortSignal;
  onWarning?: (warning: Warning) => void;
}

/** What the takeoff needs of the bundles; lengths are assumed where nothing is bundled. */
export function strandFacts(plan: Plan, bundles: Bundles): StrandFacts {
  if (bundles.engines.length === 0) return assumedFacts(plan);
  const kits = new Set(
    bundles.engines
      .filter(({ lots }) => lots.some(({ spare }) => spare !== null))
      .map(({ letter }) => letter),
  );
  const { labels } = plan.job.bundles;
  const count = 2 * bundles.tails.length + tilesWithHoles(plan).length;
  return {
    strands: bundles.strands.map(({ tile, diameterMm, lengthM, engine }) => ({
      tile,
      diameterMm,
      lengthM,
      kit: kits.has(engine),
    })),
    tails: bundles.tails.length,
    engines: bundles.engines.length,
    labelSheets: labelSheetCount(count, labelSheetByName(labels.sheet), labels.skip),
    assumed: false,
  };
}

/** Takeoff of a bundled plan. */
export const takeoffOf = (plan: Plan, bundles: Bundles): Takeoff =>
  makeTakeoff(plan, strandFacts(plan, bundles));

/** What `velarium pack` writes: van.pdf, client.pdf, labels, and the bundle tables. */
export async function packFiles(plan: Plan, bundles: Bundles, options: PackOptions): Promise<OutFile[]> {
  const context = contextFor(plan, bundles, options);
  const takeoff = takeoffOf(plan, bundles);
  const title = context.clean(plan.job.title);
  const van = () => vanPack(context, bundles, takeoff, options.changes ?? null);
  const files = [
    ...(await pdf("van.pdf", `${title}: van pack`, van, options)),
    ...(await pdf(
      "client.pdf",
      `${title}: client pack`,
      () => clientPack(context, bundles, takeoff),
      options,
    )),
    ...(await labelFiles(context, bundles, options)),
    ...bundleTables(plan, bundles),
  ].filter(wanted(options));
  tellMissing(context, options);
  return files;
}

/** What `velarium order` writes: order.csv, quote.pdf, quote.csv, and the cut plan in true millimetres. */
export async function orderFiles(plan: Plan, bundles: Bundles, options: PackOptions): Promise<OutFile[]> {
  const context = contextFor(plan, bundles, options);
  const takeoff = takeoffOf(plan, bundles);
  const title = context.clean(plan.job.title);
  const files = [
    file("order.csv", orderCsv(takeoff)),
    file("quote.csv", quoteCsv(takeoff)),
    ...(await pdf("quote.pdf", `${title}: quote`, () => quotePages(context, takeoff), options)),
    file("cut-plan.svg", toSvg(drawCutPlan(context, takeoff.cutPlan))),
  ].filter(wanted(options));
  tellMissing(context, options);
  return files;
}

/** What `velarium bundles --out` writes: tables and labels. */
export async function bundleFiles(plan: Plan, bundles: Bundles, options: PackOptions): Promise<OutFile[]> {
  const context = contextFor(plan, bundles, options);
  const files = [...bundleTables(plan, bundles), ...(await labelFiles(context, bundles, options))].filter(
    wanted(options),
  );
  tellMissing(context, options);
  return files;
}

const contextFor = (plan: Plan, bundles: Bundles, { fonts }: PackOptions): SheetContext =>
  sheetContext(plan, readTypeface(fonts), engineOf(bundles));

const utf8 = new TextEncoder();
const file = (path: string, words: string): OutFile => ({ path, bytes: utf8.encode(words) });

function bundleTables({ pattern }: Plan, bundles: Bundles): OutFile[] {
  const numbers = new Map(pattern.holes.map(({ id, numberInTile }) => [id, numberInTile]));
  return [file("strands.csv", strandsCsv(bundles, numbers)), file("tails.csv", tailsCsv(bundles))];
}

async function labelFiles(context: SheetContext, bundles: Bundles, options: PackOptions): Promise<OutFile[]> {
  const labels = labelsFor(context, bundles);
  const made = file("labels.csv", labelsCsv(labels));
  if (labels.length === 0) return [made];
  const pages = () => drawLabels(context, labels).map((drawing): PackPage => ({ drawing, bookmark: "" }));
  const title = `${context.clean(context.plan.job.title)}: labels`;
  return [...(await pdf("labels.pdf", title, pages, options)), made];
}

const wanted =
  ({ only }: PackOptions) =>
  ({ path }: OutFile): boolean =>
    only === undefined || only === path;

/** The PDF as the one file of a list; none where it is not wanted. */
async function pdf(
  path: string,
  title: string,
  draw: () => readonly PackPage[],
  { fonts, only, onPage, signal }: PackOptions,
): Promise<OutFile[]> {
  if (only !== undefined && only !== path) return [];
  const pages = draw();
  const opened = await openPdf({ title, fonts });
  for (const [i, { drawing, bookmark }] of pages.entries()) {
    opened.addPage(drawing, bookmark || undefined);
    await onPage?.(i + 1, pages.length);
    signal?.throwIfAborted();
  }
  return [{ path, bytes: await opened.bytes() }];
}

function tellMissing(context: SheetContext, { onWarning }: PackOptions): void {
  const warning = missingWarning(context);
  if (warning) onWarning?.(warning);
}
