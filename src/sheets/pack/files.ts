import { engineOf } from "../../bundles/bundles.ts";
import { litPlan } from "../../bundles/litPlan.ts";
import type { Bundles } from "../../bundles/types.ts";
import type { Warning } from "../../job/faults.ts";
import type { Planned } from "../../plan.ts";
import type { Figure } from "../../sky/types.ts";
import type { Takeoff } from "../../takeoff/types.ts";
import { sheetContext, type SheetContext } from "../context.ts";
import { missingWarning, type OutFile } from "../files.ts";
import { drawLabels, labelsCsv, labelsFor } from "../labelSheets.ts";
import { openPdf } from "../../drawing/pdf.ts";
import { toSvg } from "../../drawing/svg.ts";
import { readTypeface, type FontBytes } from "../../drawing/typeface.ts";
import type { Difference } from "../../asBuilt/built.ts";
import type { Visit } from "../../asBuilt/visits.ts";
import type { Changes } from "./changes.ts";
import { clientPack } from "./client.ts";
import { drawCutPlan } from "./cutSheet.ts";
import type { PackPage } from "./document.ts";
import { quotePages } from "./quoteSheet.ts";
import { orderCsv, quoteCsv, strandsCsv, tailsCsv } from "./tables.ts";
import { vanPack } from "./van.ts";

export interface PackOptions {
  fonts: FontBytes;
  /** For the client's picture of the sky. */
  figures?: readonly Figure[];
  /** Since the revision printed last, if it was given. */
  changes?: Changes | null;
  /** PDFs to be opened in ten years. */
  forKeeping?: boolean;
  /** Service since it was hung, as the record tells. */
  visits?: readonly Visit[];
  /** What is otherwise than planned, as the record tells; null where no record was given. */
  differences?: readonly Difference[] | null;
  /** This file alone, by name. Default: all. */
  only?: string;
  /** Called after each page of a PDF; awaited, so that a caller may let other work in. */
  onPage?: (done: number, total: number) => void | Promise<void>;
  /** Stops between pages with the signal's own reason. */
  signal?: AbortSignal;
  onWarning?: (warning: Warning) => void;
}

/** What `velarium pack` writes: van.pdf, client.pdf, labels, and the bundle tables. */
export async function packFiles(
  plan: Planned,
  bundles: Bundles,
  takeoff: Takeoff,
  options: PackOptions,
): Promise<OutFile[]> {
  const context = contextFor(plan, bundles, options);
  const title = context.clean(plan.job.title);
  const van = () => vanPack(context, bundles, takeoff, options.changes ?? null);
  const files = [
    ...(await pdf("van.pdf", `${title}: van pack`, van, options)),
    ...(await pdf(
      "client.pdf",
      `${title}: client pack`,
      () => clientPack(litContext(context, bundles), bundles, takeoff, options),
      options,
    )),
    ...(await labelFiles(context, bundles, options)),
    ...bundleTables(plan, bundles),
  ].filter(wanted(options));
  tellMissing(context, options);
  return files;
}

/** What `velarium order` writes: order.csv, quote.pdf, quote.csv, and the cut plan in true millimetres. */
export async function orderFiles(
  plan: Planned,
  bundles: Bundles,
  takeoff: Takeoff,
  options: PackOptions,
): Promise<OutFile[]> {
  const context = contextFor(plan, bundles, options);
  const title = context.clean(plan.job.title);
  const files = [
    file("order.csv", orderCsv(takeoff, plan.job.units)),
    file("quote.csv", quoteCsv(takeoff)),
    ...(await pdf(
      "quote.pdf",
      `${title}: quote`,
      () => quotePages(litContext(context, bundles), takeoff),
      options,
    )),
    file("cut-plan.svg", toSvg(drawCutPlan(context, takeoff.cutPlan))),
  ].filter(wanted(options));
  tellMissing(context, options);
  return files;
}

/** What `velarium bundles --out` writes: tables and labels. */
export async function bundleFiles(plan: Planned, bundles: Bundles, options: PackOptions): Promise<OutFile[]> {
  const context = contextFor(plan, bundles, options);
  const files = [...bundleTables(plan, bundles), ...(await labelFiles(context, bundles, options))].filter(
    wanted(options),
  );
  tellMissing(context, options);
  return files;
}

const contextFor = (plan: Planned, bundles: Bundles, { fonts }: PackOptions): SheetContext =>
  sheetContext(plan, readTypeface(fonts), engineOf(bundles));

/** For pages that tell what shines; what their fonts lack is told together with the rest. */
function litContext(context: SheetContext, bundles: Bundles): SheetContext {
  const { plan, typeface, engineOf: own, missing } = context;
  return sheetContext(litPlan({ plan, bundles }).plan, typeface, own, missing);
}

const utf8 = new TextEncoder();
const file = (path: string, words: string): OutFile => ({ path, bytes: utf8.encode(words) });

function bundleTables({ pattern }: Planned, bundles: Bundles): OutFile[] {
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
  { fonts, only, onPage, signal, forKeeping = false }: PackOptions,
): Promise<OutFile[]> {
  if (only !== undefined && only !== path) return [];
  const pages = draw();
  const opened = await openPdf({ title, fonts, forKeeping });
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
